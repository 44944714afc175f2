/** Invoices and records for tests of the checks on billing. */
import type { CalibrationReading, DocumentFacts, OperationReading } from '../../../src/facts/document.ts'
import type { FileContent } from '../../../src/packet/packet.ts'
import { makeDocument, makePlace } from '../packet-builder.ts'

export const radar: Partial<OperationReading> = {
  text: 'Front radar calibration, dynamic',
  kind: 'calibration',
  calls: ['front-radar'],
  method: 'dynamic',
  amount: 310,
}
export const camera: Partial<OperationReading> = {
  text: 'Front camera calibration, static',
  kind: 'calibration',
  calls: ['front-camera'],
  method: 'static',
  amount: 290,
}
export const unnamed: Partial<OperationReading> = { text: 'Calibration', kind: 'calibration', amount: 300 }

export function makeBill(
  file: string,
  lines: Partial<OperationReading>[],
  rest: Partial<DocumentFacts> = {},
): DocumentFacts {
  const operations = lines.map((line) => ({ text: '', calls: [], billed: true, kind: 'other' as const, ...line }))
  const places = operations.map(({ text }, index) => [`operations.${index}`, [makePlace(text)]])
  return makeDocument('invoice', file, { operations, evidence: Object.fromEntries(places), ...rest })
}

export function makeRecord(parts: Partial<CalibrationReading> = {}, file = 'record.pdf'): DocumentFacts {
  const reading = { sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed', ...parts } as const
  const evidence = { 'calibrations.0.outcome': [makePlace(`Result ${reading.outcome}`)] }
  return makeDocument('calibration', file, { calibrations: [reading], evidence })
}

/** What a file says beside its facts, line by line. */
export function makeContent(files: Record<string, string[]>): Record<string, FileContent> {
  return Object.fromEntries(
    Object.entries(files).map(([file, texts]) => {
      const lines = texts.map((text) => makePlace(text))
      return [file, { lines, pageNumbers: [], track: null, information: null }]
    }),
  )
}

/** Letterheads of an invented shop, and of an invented firm that writes to it. */
export const shopLines = ['Amber Ridge Collision', '2 Sample Lane', 'Invoice 4471', 'Total']
export const supplierLines = [
  'Pebble Lake Calibration',
  '7 Sample Road',
  'Invoice 90',
  'Bill to: Amber Ridge Collision',
]
