/** The report on a packet as text for a person. */
import type { Report } from '../findings/report.ts'
import { writeCodes } from './codes-text.ts'
import { writeActions, writeExposure, writeFindings, writeList } from './findings-text.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { writeTimeline } from './timeline-text.ts'
import { type ReportView, viewReport } from './view.ts'
import { verdictStyles } from './words.ts'

/**
 * The whole report: verdict and vehicle, findings worst first, what would settle them, who is exposed, the order of
 * events, codes before and after, cautions.
 *
 * Text from the packet's files is neutralised; no line is wider than `width` columns (40 at least) unless a single
 * character is. The same report and options give the same text.
 */
export function renderText(report: Report, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const view = viewReport(report)
  writeHead(sheet, report.packet, view)
  for (const findings of view.findings) writeFindings(sheet, findings)
  for (const actions of view.actions) writeActions(sheet, actions)
  if (view.exposure !== null) writeExposure(sheet, view.exposure)
  for (const list of view.summaries) writeList(sheet, list)
  if (view.problems !== null) writeList(sheet, view.problems)
  if (view.timeline !== null) writeTimeline(sheet, view.timeline)
  if (view.codes !== null) writeCodes(sheet, view.codes)
  writeList(sheet, view.cautions)
  return sheet.toString()
}

function writeHead(sheet: Sheet, packet: string, { verdict, word, meaning, head }: ReportView): void {
  sheet.write([span(word, verdictStyles[verdict]), span(`  packet ${packet}`, 'strong')])
  sheet.write(meaning)
  sheet.gap()
  const field = (label: string, text: string) => sheet.label(label, text, { indent: 2, column: 11 })
  field('Vehicle', head.vehicle)
  field('Files', head.files)
  field('Findings', head.findings)
  field('Reviewed', head.reviewed)
  field('Digest', `${head.digest.slice(0, 23)}… of all files, in full in the JSON report`)
}
