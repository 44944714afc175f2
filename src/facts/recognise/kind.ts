/** What kind of document this is: by its heading first, then by what it holds, last by the file's name. */
import type { DocumentFacts, DocumentKind } from '../document.ts'
import { kindOfName } from '../file-kind.ts'
import type { Cell, Line } from '../layout.ts'
import { columnOf } from '../page/tables.ts'
import type { Reading } from '../reading.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import { moduleStateOf } from './scan-states.ts'
import { sensorOf } from './sensors.ts'
import { fieldsFor, type Sheet } from './sheet.ts'

export interface KindFound {
  kind: DocumentKind
  from: DocumentFacts['kindFrom']
}

/** Lines that can be the document's title: the head of the first page, and whatever is set large. */
function titleLines(sheet: Sheet): { line: Line; weight: number }[] {
  const { bodySize } = sheet.layout
  const fieldLines = new Set(
    sheet.fields
      .filter((field) =>
        field.meanings.some(
          ({ key }) =>
            key !== 'documentNumber' && key !== 'sensor' && key !== 'date' && key !== 'shop' && key !== 'customer',
        ),
      )
      .map((field) => field.line),
  )
  const firstTable = Math.min(
    ...sheet.tables.filter((table) => table.rows.length > 1).map((table) => table.header.index),
    Number.POSITIVE_INFINITY,
  )
  const lines: { line: Line; weight: number }[] = []
  for (const line of sheet.lines) {
    if (line.page !== 1 || line.index >= firstTable) continue
    const large = line.size >= 1.25 * bodySize
    const position = sheet.lines.indexOf(line)
    if (position > 14 && !large) continue
    if (fieldLines.has(line.index) && !large) continue
    if (line.text.split(/\s+/).length > 16) continue
    // A sentence mentions things; it is no title.
    if (!large && /[a-z)][.;,]$/.test(line.text) && line.text.split(/\s+/).length > 7) continue
    lines.push({
      line,
      weight:
        (large ? 1.6 : 1) *
        (line.bold ? 1.1 : 1) *
        (position < 6 ? 1.15 : 1) *
        (line.text === line.text.toUpperCase() && position < 8 ? 1.05 : 1),
    })
  }
  return lines
}

/** A line that ends with a sum of money. */
const AMOUNT = /(?:[$€£]\s?\d|\b\d{1,3}(?:[,. ]\d{3})*[.,]\d{2})\s*(?:[A-Z]{3})?$/

function headingScores(sheet: Sheet): Map<DocumentKind, number> {
  const scores = new Map<DocumentKind, number>()
  const hasAmounts = sheet.lines.some((line) => AMOUNT.test(line.text))
  for (const { line, weight } of titleLines(sheet)) {
    for (const cell of line.cells) {
      const tokens = sheet.vocabulary.tokens(cell.text)
      // "Repair order | RO 26-1266" names the job; alone on its line it may head a sheet.
      const names = sheet.vocabulary.labels.whole(tokens).some((entry) => entry.key === 'jobNumber')
      if (names && line.cells.length > 1) continue
      for (const { hit, tokens } of headingsIn(cell, sheet)) {
        for (const entry of hit.entries) {
          const [kind, strength] = entry.key.split(':') as [DocumentKind, string]
          // A "job sheet" without a single sum of money estimates nothing.
          if (entry.key === 'estimate:2' && !hasAmounts) continue
          // A phrase that is most of its cell is a title; one inside a sentence is a mention.
          const share = hit.length / Math.max(1, tokens.filter((token) => !/^\d+$/.test(token)).length)
          const cellWeight = cell.size >= 1.25 * sheet.layout.bodySize ? weight : Math.min(weight, 1.27)
          const score = Number(strength) * cellWeight * (0.5 + 0.5 * Math.min(1, share)) + 0.15 * (hit.length - 1)
          scores.set(kind, Math.max(scores.get(kind) ?? 0, score))
        }
      }
    }
  }
  return scores
}

/** Phrases of headings in a cell. In a picture large letters may fall apart, "Esti mate": there also without its spaces. */
function headingsIn({ text, words }: Cell, { vocabulary }: Sheet) {
  const isSeen = words.length > 1 && words.some(({ confidence }) => confidence !== undefined)
  return [text, ...(isSeen ? [text.replaceAll(' ', '')] : [])].flatMap((own) => {
    const tokens = vocabulary.tokens(own)
    return vocabulary.headings.within(tokens).map((hit) => ({ hit, tokens }))
  })
}

/** Rows that tell how runs of a sensor began, by which method or how far they came: their verdicts are no modules' states. */
function runRows({ tables }: Sheet): Set<number> {
  const telling = ['method', 'started', 'ended', 'progress'] as const
  const ofRuns = tables.filter(
    (table) => columnOf(table, 'sensor') >= 0 && telling.filter((role) => columnOf(table, role) >= 0).length >= 2,
  )
  return new Set(ofRuns.flatMap(({ rows }) => rows.map(({ line }) => line.index)))
}

function contentScores(sheet: Sheet, reading: Reading): Map<DocumentKind, number> {
  const scores = new Map<DocumentKind, number>()
  const add = (kind: DocumentKind, score: number) => scores.set(kind, (scores.get(kind) ?? 0) + score)
  if (reading.track) add('drive-log', 5)
  let states = 0
  let codes = 0
  let geometry = 0
  let amounts = 0
  const runs = runRows(sheet)
  for (const line of sheet.lines) {
    codes += findTroubleCodes(line.text).length
    if (line.cells.length > 1 && !runs.has(line.index))
      for (const cell of line.cells.slice(1)) if (moduleStateOf(cell.text, sheet.vocabulary)) states++
    if (/\b(?:camber|caster|toe|thrust angle|kingpin|set[- ]?back)\b/i.test(line.text) && /\d/.test(line.text))
      geometry++
    if (AMOUNT.test(line.text)) amounts++
  }
  const moduleTable = sheet.tables.some(
    (table) => columnOf(table, 'module') >= 0 && (columnOf(table, 'state') >= 0 || columnOf(table, 'code') >= 0),
  )
  if (states >= 4 || codes >= 2 || (moduleTable && (states > 0 || codes > 0))) add('scan', 2 + Math.min(2, states / 8))
  if (geometry >= 3) add('alignment', 4)
  if (runs.size > 0) add('calibration', 2.5)
  const calibrationKeys = (['started', 'ended', 'method', 'progress', 'outcome', 'procedure'] as const).filter(
    (key) => fieldsFor(sheet, key).length > 0,
  ).length
  const named = sheet.lines.some(
    (line) =>
      line.text.split(/\s+/).length < 9 && (sensorOf(line.text, sheet.vocabulary)?.sensor ?? 'other') !== 'other',
  )
  // A job sheet that tells how runs of a sensor began and ended is a record of them, whatever its title.
  if (calibrationKeys >= 3 && named) add('calibration', calibrationKeys > 3 ? 3.5 : 2.5)
  if (amounts >= 3) {
    const text = sheet.lines.map((line) => line.text).join('\n')
    add('invoice', /amount due|balance due|invoice|total due|paid|bill\b/i.test(text) ? 2 : 0.8)
    add('estimate', /estimate|quot(?:e|ation)/i.test(text) ? 2 : 0.4)
  }
  return scores
}

/** Fewer words stand on no record that is printed on a page. */
const wordsOfPage = 40

/** Tells the kind of a document, and from what it was told. */
export function tellKind(sheet: Sheet, reading: Reading, file: string): KindFound {
  const photo: KindFound = { kind: 'photo', from: 'content' }
  if (reading.picture === undefined) return tellKindOfPages(sheet, reading, file)
  // A label, a plate or a screen has few words: it is a photo that shows them. A photo of a page is that page.
  const words = reading.pages.reduce((sum, page) => sum + page.words.length, 0)
  if (words < wordsOfPage) return photo
  const told = tellKindOfPages(sheet, reading, file)
  return told.from === 'name' || told.kind === 'other' || told.kind === 'statement' ? photo : told
}

function tellKindOfPages(sheet: Sheet, reading: Reading, file: string): KindFound {
  const heading = headingScores(sheet)
  const content = contentScores(sheet, reading)
  if (reading.track && reading.track.points.length > 1) return { kind: 'drive-log', from: 'content' }
  const get = (scores: Map<DocumentKind, number>, kind: DocumentKind) => scores.get(kind) ?? 0
  const before = get(heading, 'pre-scan')
  const after = get(heading, 'post-scan')
  const scanTitle = get(heading, 'scan')
  const scanContent = get(content, 'scan')
  const combined = new Map<DocumentKind, number>()
  for (const kind of ['calibration', 'alignment', 'estimate', 'invoice', 'statement', 'drive-log'] as const)
    combined.set(kind, get(heading, kind) + get(content, kind))
  // "Before repair" alone says which scan it is, not that it is one.
  const scan =
    Math.max(
      scanTitle,
      scanTitle > 0 || scanContent > 0 ? Math.max(before, after) * 0.9 : Math.max(before, after) * 0.5,
    ) + scanContent
  combined.set('scan', scan)
  const [best] = [...combined].sort(([, a], [, b]) => b - a)
  if (best && best[1] >= 1.5) {
    const [kind] = best
    const from = get(heading, kind) > 0 || (kind === 'scan' && (before > 0 || after > 0)) ? 'heading' : 'content'
    if (kind !== 'scan') return { kind, from }
    if (before > after) return { kind: 'pre-scan', from }
    if (after > before) return { kind: 'post-scan', from }
    const named = kindOfName(file)
    if (named === 'pre-scan' || named === 'post-scan') return { kind: named, from: 'name' }
    return { kind: 'scan', from }
  }
  const hasText = sheet.lines.length > 3
  if (!hasText) {
    const named = kindOfName(file)
    if (named && reading.problems.length > 0) return { kind: named, from: 'name' }
  }
  // Sentences and nothing else: somebody wrote down what was done.
  const prose = sheet.lines.filter(
    (line) => line.cells.length === 1 && line.text.split(/\s+/).length >= 7 && /[a-z]{3} [a-z]{2}/.test(line.text),
  ).length
  if ((!best || best[1] < 1) && prose >= 2 && prose >= 0.4 * sheet.lines.length)
    return { kind: 'statement', from: 'content' }
  return best && best[1] >= 1
    ? { kind: best[0], from: get(heading, best[0]) > 0 ? 'heading' : 'content' }
    : { kind: 'other', from: 'content' }
}
