/** The files that record calibrations, each with its records, for what such a file must say of itself. */
import type { DocumentFacts } from '../facts/document.ts'
import type { Packet } from '../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt, isMention } from './calibrations.ts'

export interface CalibrationFile {
  document: DocumentFacts
  records: CalibrationRecord[]
}

/** Files in their order; what is only mentioned in one, and what was not performed, is left out. */
export function calibrationFiles(packet: Packet): CalibrationFile[] {
  const files = new Map<DocumentFacts, CalibrationRecord[]>()
  const records = calibrationRecords(packet)
  for (const record of records) {
    if (isMention(record, records) || finalAttempt(record.reading).outcome === 'not-performed') continue
    files.set(record.document, [...(files.get(record.document) ?? []), record])
  }
  return [...files].map(([document, own]) => ({ document, records: own }))
}
