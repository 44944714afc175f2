/**
 * The findings as CSV (RFC 4180): one a row, with a heading row, CRLF after each record, every cell in quotes, UTF-8 with
 * a byte order mark, without which spreadsheets take it for the code page of their machine.
 *
 * Formula injection: a spreadsheet takes a cell that begins with `=`, `+`, `-`, `@` or their full-width forms for a
 * formula, some also after white space or quotes, and one that splits at other separators than ours sees beginnings
 * inside our cells. So an apostrophe is put before each such character where it begins a cell or follows `;`, `|` or a
 * separator of lines, with or without white space, quotes and characters that show nothing between. Read as CSV, the
 * cell's text then begins with the apostrophe and is text. Tabs and line breaks become spaces, and what could steer or
 * mislead is spelt out, as in the text report.
 */
import type { Finding, Report } from '../findings/report.ts'
import { neutralise } from './terminal-text.ts'
import { describeContrast, describeExposure, describeOrigin, viewContrast } from './view.ts'
import { describePlace, nameSuppliers, verdictWords } from './words.ts'

type Column = readonly [heading: string, cell: (finding: Finding, report: Report) => string]

const columns: readonly Column[] = [
  ['verdict', ({ verdict }) => verdictWords[verdict]],
  ['group', ({ group }) => group],
  ['check', ({ check }) => check],
  ['reason', ({ reason }) => reason],
  ['file', ({ evidence: [first] }) => first?.file ?? ''],
  ['page', ({ evidence: [first] }) => (first?.page === undefined ? '' : String(first.page))],
  ['words', ({ evidence: [first] }) => first?.text.trim() ?? ''],
  ['all places', ({ evidence }) => [...new Set(evidence.map(describePlace))].join(' | ')],
  ['readings', ({ contrasts = [] }) => contrasts.map(viewContrast).map(describeContrast).join(' | ')],
  ['rule', ({ basis }) => basis],
  ['rulebook', ({ rule }) => (rule === undefined ? 'none' : describeOrigin(rule))],
  ['remedy', ({ remedy }) => remedy ?? ''],
  ['suppliers', ({ suppliers, remedy }) => (remedy === undefined ? '' : nameSuppliers(suppliers))],
  ['exposed to', ({ exposure }) => exposure.map(describeExposure).join(' | ')],
  ['packet', (_, { packet }) => packet],
  ['vin', (_, { vehicle }) => vehicle.vin ?? ''],
  ['reviewed', (_, { reviewed }) => reviewed],
]

/** Pure: the same report gives the same text. Findings stand in the report's order, worst first. */
export function renderCsv(report: Report): string {
  const rows = report.findings.map((finding) => columns.map(([, cell]) => cell(finding, report)))
  return writeRecords([columns.map(([heading]) => heading), ...rows])
}

/** Records as this file's head says, the heading row first. */
export const writeRecords = (records: readonly (readonly string[])[]): string =>
  `\uFEFF${records.map((cells) => `${cells.map(writeCell).join(',')}\r\n`).join('')}`

const writeCell = (text: string): string => `"${disarm(neutralise(text)).replaceAll('"', '""')}"`

const beginning = /(^|[;|])([\s\p{Cf}\p{Zs}"'`\u2018-\u201f\u00ab\u00bb]*)([=+\-@＝＋－＠﹦﹢﹣﹫−])/gu

/** Puts an apostrophe before what could begin a formula. The cells of a report that hold none stay as they are. */
function disarm(text: string): string {
  return text.replaceAll(beginning, (_, start: string, between: string, sign: string) => `${start}'${between}${sign}`)
}
