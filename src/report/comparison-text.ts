/** What changed between two submissions, as text for a person. */
import type { Comparison } from '../compare/comparison.ts'
import {
  type ComparisonView,
  type FactView,
  type FileChangeView,
  type FindingChangeView,
  type SideView,
  viewComparison,
} from './comparison-view.ts'
import { writeList } from './findings-text.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import type { FieldView } from './view.ts'
import { verdictStyles } from './words.ts'

/**
 * The whole comparison: verdicts, changed facts that findings rest on, findings, files, other facts, words. Text from the
 * files is neutralised. The same comparison and options give the same text.
 */
export function renderComparison(comparison: Comparison, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const view = viewComparison(comparison)
  writeHead(sheet, view)
  writeFacts(sheet, view.usedFacts)
  for (const { heading, meaning, findings } of view.findings) {
    writeHeading(sheet, heading)
    sheet.write([span(meaning, 'quiet')], { first: '  ' })
    for (const finding of findings) writeFinding(sheet, finding)
  }
  writeFiles(sheet, view.files)
  writeFacts(sheet, view.otherFacts)
  if (view.otherFacts.left !== '') sheet.write(view.otherFacts.left, { first: '  ' })
  writeWords(sheet, view.words)
  writeList(sheet, view.cautions)
  return sheet.toString()
}

function writeHeading(sheet: Sheet, heading: string): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
}

function writeHead(sheet: Sheet, { title, summary, before, after }: ComparisonView): void {
  sheet.write([
    span(before.word, verdictStyles[before.verdict]),
    span(' → '),
    span(after.word, verdictStyles[after.verdict]),
    span(`  ${title}`, 'strong'),
  ])
  sheet.write(summary)
  writeSide(sheet, 'Before', before)
  writeSide(sheet, 'After', after)
}

function writeSide(sheet: Sheet, label: string, { packet, fields }: SideView): void {
  sheet.gap()
  sheet.label(label, [span(packet, 'strong')], { indent: 2, column: 11 })
  for (const field of fields) writeField(sheet, field, 2)
}

function writeField(sheet: Sheet, { label, lines }: FieldView, indent: number): void {
  for (const [index, line] of lines.entries()) sheet.label(index === 0 ? label : '', line, { indent, column: 11 })
}

function writeFacts(sheet: Sheet, { heading, facts }: { heading: string; facts: readonly FactView[] }): void {
  if (facts.length === 0) return
  writeHeading(sheet, heading)
  for (const { label, before, after, checks } of facts) {
    sheet.gap()
    sheet.write([span(label, 'strong')], { first: '  ', rest: '    ' })
    for (const field of [before, after]) writeField(sheet, field, 4)
    if (checks !== '') sheet.label('Rests on it', checks, { indent: 4, column: 13 })
  }
}

function writeFinding(sheet: Sheet, { verdict, word, was, check, sentences, fields }: FindingChangeView): void {
  sheet.gap()
  sheet.write([span(word, verdictStyles[verdict]), span(` (${was}): ${check}`)], { first: '  ', rest: '    ' })
  for (const field of [...sentences, ...fields]) writeField(sheet, field, 4)
}

interface FilesView {
  heading: string
  files: readonly FileChangeView[]
  same: string
}

function writeFiles(sheet: Sheet, { heading, files, same }: FilesView): void {
  writeHeading(sheet, heading)
  for (const { word, name, remarks } of files) {
    sheet.write([span(`${word}: `, 'strong'), span(name)], { first: '  - ', rest: '    ' })
    for (const remark of remarks) sheet.write([span(remark, 'quiet')], { first: '    ' })
  }
  sheet.write(same, { first: '  - ', rest: '    ' })
}

function writeWords(sheet: Sheet, { heading: title, pages }: ComparisonView['words']): void {
  if (pages.length === 0) return
  writeHeading(sheet, title)
  for (const { heading, remark, changes } of pages) {
    sheet.gap()
    sheet.write([span(heading, 'strong')], { first: '  ', rest: '    ' })
    if (remark !== '') sheet.write([span(remark, 'quiet')], { first: '    ' })
    for (const [index, { before, after }] of changes.entries()) {
      if (index > 0) sheet.gap()
      if (before !== '') sheet.write([span(before)], { first: '    - ', rest: '      ' })
      if (after !== '') sheet.write([span(after)], { first: '    + ', rest: '      ' })
    }
  }
}
