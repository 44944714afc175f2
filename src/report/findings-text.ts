/** Findings, what would settle them and who is exposed, as text. */
import { type Sheet, span } from './sheet.ts'
import type { ActionsView, ExposureView, FieldView, FindingsView, FindingView, ListView } from './view.ts'
import { verdictStyles } from './words.ts'

/** Lines shown beside one label; what is left out is counted. */
const mostLines = 8

/** Findings in full under a heading, in the order given, with a line for each group. */
export function writeFindings(sheet: Sheet, { heading, groups }: FindingsView): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
  for (const { question, findings } of groups) {
    sheet.gap()
    sheet.write([span(question, 'quiet')], { first: '  ' })
    for (const finding of findings) {
      sheet.gap()
      writeFinding(sheet, finding)
    }
  }
}

function writeFinding(sheet: Sheet, { verdict, word, reason, fields, contrasts }: FindingView): void {
  sheet.write([span(word, verdictStyles[verdict]), span(` ${reason}`)], { first: '  ', rest: '       ' })
  for (const [index, { what, sides }] of contrasts.entries()) {
    sheet.label(index === 0 ? 'Readings' : '', what, { indent: 7, column: 11 })
    for (const { label, text } of sides) sheet.label('', `${label}: ${text}`, { indent: 9, column: 11 })
  }
  for (const field of fields) {
    for (const [index, line] of limitLines(field).entries())
      sheet.label(index === 0 ? field.label : '', line, { indent: 7, column: 11 })
  }
}

function limitLines({ label, lines }: FieldView): string[] {
  if (label !== 'Read in' || lines.length <= mostLines) return lines
  return [...lines.slice(0, mostLines - 1), `and ${lines.length - mostLines + 1} more places`]
}

/** What is to be done or asked for, a line each, with who can supply it. */
export function writeActions(sheet: Sheet, { heading, items }: ActionsView): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
  for (const { what, from, settles } of items) {
    sheet.write(what, { first: '  - ', rest: '    ' })
    sheet.write([span(`${from === '' ? '' : `${from}; `}settles ${settles}`, 'quiet')], { first: '    ' })
  }
}

export function writeExposure(sheet: Sheet, { heading, parties }: ExposureView): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
  for (const { party, counts, to } of parties) {
    sheet.write([span(party, 'strong'), span(`: ${counts}`, 'quiet')], { first: '  ' })
    for (const { word, verdict, what } of to) {
      sheet.write([span(word, verdictStyles[verdict]), span(` ${what}`)], { first: '    ', rest: '         ' })
    }
  }
}

/** A heading with a line for each. */
export function writeList(sheet: Sheet, { heading, lines }: ListView): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
  for (const line of lines) sheet.write(line, { first: '  - ', rest: '    ' })
}
