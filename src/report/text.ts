/** The report on a packet as text for a person. */
import type { Finding, Report, Verdict } from '../findings/report.ts'
import { writeCodes } from './codes-text.ts'
import { writeFindings, writeSummaries } from './findings-text.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { writeTimeline } from './timeline-text.ts'
import { count, verdictStyles, verdictWords } from './words.ts'

const verdictMeanings: Record<Report['verdict'], string> = {
  fail: 'The packet contradicts itself, or lacks what must be there.',
  warn: 'Nothing fails, and a person must look at something.',
  pass: 'Nothing was found that contradicts the work or is missing.',
}

/**
 * The whole report: verdict and vehicle, findings worst first, the order of events, codes before and after, cautions.
 *
 * Text from the packet's files is neutralised; no line is wider than `width` columns (40 at least) unless a single
 * character is. The same report and options give the same text.
 */
export function renderText(report: Report, options: SheetOptions): string {
  const sheet = makeSheet(options)
  writeHead(sheet, report)
  writeFindings(sheet, 'What fails', pick(report, 'fail'))
  writeFindings(sheet, 'What a person must look at', pick(report, 'warn'))
  writeSummaries(sheet, report)
  writeProblems(sheet, report)
  writeTimeline(sheet, report)
  writeCodes(sheet, report.documents)
  sheet.gap()
  sheet.write([span('Cautions', 'strong')])
  for (const caution of report.cautions) sheet.write(caution, { first: '  - ', rest: '    ' })
  return sheet.toString()
}

const pick = (report: Report, verdict: Verdict): Finding[] =>
  report.findings.filter((finding) => finding.verdict === verdict)

function writeHead(sheet: Sheet, report: Report): void {
  const { verdict, counts, rulebook } = report
  sheet.write([span(verdictWords[verdict], verdictStyles[verdict]), span(`  packet ${report.packet}`, 'strong')])
  sheet.write(verdictMeanings[verdict])
  sheet.gap()
  const field = (label: string, text: string) => sheet.label(label, text, { indent: 2, column: 11 })
  field('Vehicle', describeVehicle(report.vehicle))
  field('Files', describeFiles(report))
  field('Findings', `${counts.fail} fail, ${counts.warn} warn, ${counts.pass} pass, ${counts.notChecked} not checked`)
  field('Reviewed', `as of ${report.reviewed}, by the rulebook ${rulebook.name} ${rulebook.version}`)
  field('Digest', `${report.digest.slice(0, 23)}… of all files, in full in the JSON report`)
}

function writeProblems(sheet: Sheet, { documents }: Report): void {
  const lines = documents.flatMap(({ file, problems }) => problems.map(({ message }) => `${file}: ${message}`))
  if (lines.length === 0) return
  sheet.gap()
  sheet.write([span(`Reading problems (${lines.length})`, 'strong')])
  for (const line of lines) sheet.write(line, { first: '  - ', rest: '    ' })
}

function describeVehicle({ vin, year, make, model, plate }: Report['vehicle']): string {
  const name = [year, make, model].filter((part) => part !== undefined).join(' ')
  return [
    vin === null ? 'no VIN could be read' : `VIN ${vin}`,
    ...(name === '' ? [] : [name]),
    ...(plate === undefined ? [] : [`plate ${plate}`]),
  ].join(', ')
}

function describeFiles({ documents }: Report): string {
  const troubled = documents.filter((document) => document.problems.length > 0).length
  const read = `${count(documents.length, 'file')} read`
  return troubled === 0 ? read : `${read}, ${troubled} of them with a reading problem`
}
