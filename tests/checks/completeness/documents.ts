/** Documents that the tests of completeness share. */
import type { CalibrationReading, DocumentFacts, DocumentKind, OperationReading } from '../../../src/facts/document.ts'
import { makeDocument } from '../packet-builder.ts'

/** A file with one problem, of which nothing is known but its kind. */
export function makeUnread(
  kind: DocumentKind,
  file: string,
  code = 'no-text-layer',
  rest: Partial<DocumentFacts> = {},
) {
  return makeDocument(kind, file, { vin: undefined, problems: [{ code, message: `it is ${code}.` }], ...rest })
}

/** A photograph without words. */
export const photo = makeDocument('photo', 'target.jpg', { vin: undefined, media: 'image/jpeg' })

/** A calibration record of one sensor; unless said otherwise a completed dynamic one of the front radar. */
export function makeRecord(file: string, reading: Partial<CalibrationReading> = {}, rest: Partial<DocumentFacts> = {}) {
  const calibration: CalibrationReading = {
    sensor: 'front-radar',
    position: null,
    method: 'dynamic',
    outcome: 'completed',
    ...reading,
  }
  return makeDocument('calibration', file, { calibrations: [calibration], ...rest })
}

/** An invoice with one line each. */
export function makeInvoice(...operations: Partial<OperationReading>[]): DocumentFacts {
  const whole = operations.map((operation): OperationReading => {
    return { text: 'Front radar calibration', calls: ['front-radar'], billed: true, kind: 'calibration', ...operation }
  })
  return makeDocument('invoice', 'invoice.pdf', { operations: whole })
}
