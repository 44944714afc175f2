/** Packets of records with conditions, and procedures that ask for them. All values are invented. */
import type { ProcedureEntry } from '../../../src/checks/procedures.ts'
import type { CalibrationReading, Condition, DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import { general } from '../general.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'

/** The procedures of the general rulebook. */
export const procedures: readonly ProcedureEntry[] = general.procedures

export const makeCalibration = (rest: Partial<CalibrationReading> = {}): CalibrationReading => ({
  sensor: 'front-camera',
  position: null,
  method: 'static',
  outcome: 'completed',
  ...rest,
})

/** A condition whose text is its kind, unless said otherwise. */
export const makeCondition = (about: Condition['about'], rest: Partial<Condition> = {}): Condition => ({
  about,
  text: about,
  ...rest,
})

/** A record of one static calibration of the front camera, with conditions and their places. */
export function makeRecord(
  conditions: Condition[] = [],
  rest: Partial<DocumentFacts> = {},
  kind: DocumentKind = 'calibration',
  file = `${kind}.pdf`,
): DocumentFacts {
  const evidence = Object.fromEntries(conditions.map(({ text }, i) => [`conditions.${i}`, [makePlace(text)]]))
  return makeDocument(kind, file, {
    ...(kind === 'calibration' ? { calibrations: [makeCalibration()] } : {}),
    ...(conditions.length > 0 ? { conditions } : {}),
    evidence,
    ...rest,
  })
}

/** A packet of records; `words` are the lines of `calibration.pdf`. */
export function packetOfRecords(documents: DocumentFacts[], words: string[] = []) {
  const content = { lines: words.map((text) => makePlace(text)), pageNumbers: [], track: null, information: null }
  return makePacket(documents, words.length > 0 ? { content: { 'calibration.pdf': content } } : {})
}

/** Three conditions: enough to make a list. */
export const aList = [makeCondition('light'), makeCondition('ride-height'), makeCondition('steering-zero')]
