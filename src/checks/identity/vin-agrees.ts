import { compareVins, type VinComparison } from '../../facts/vin.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import {
  collectVins,
  fewCharacters,
  isPartial,
  listPositions,
  type VinSide,
  type VinStatement,
  weighVins,
} from './vin-readings.ts'

export const vinAgrees: Check = {
  id: 'vin-agrees',
  group: 'identity',
  claim: 'Every file that names a vehicle names the same one.',
  messages: {
    agree: { state: 'met', text: '{count} files show the same VIN, {vin}.' },
    'look-alike': {
      state: 'unmet',
      text: '{odd} shows the VIN {value} where {others} show {vin}: position {position} reads {found} instead of {expected}, two characters that are easily confused.',
    },
    swapped: {
      state: 'unmet',
      text: '{odd} shows the VIN {value} where {others} show {vin}: the characters at positions {positions} are swapped.',
    },
    'few-characters': {
      state: 'unmet',
      text: '{odd} shows the VIN {value} where {others} show {vin}: they differ at positions {positions}.',
    },
    'another-vehicle': {
      state: 'unmet',
      text: '{odd} shows the VIN {value}, another vehicle than {vin} in {others}: {differing} of 17 characters differ.',
    },
    'two-sides': {
      state: 'unmet',
      text: '{odd} shows the VIN {value} and {others} show {vin}: they differ at positions {positions}, and nothing in the packet tells which is right.',
    },
    'partial-differs': {
      state: 'unmet',
      text: '{odd} shows the part {value} of a VIN, which is not in {vin} of {others}.',
    },
    'partial-agrees': {
      state: 'unmet',
      text: '{odd} shows only {value} of the VIN, which agrees with {vin} of {others}.',
    },
    'not-comparable': {
      state: 'undecided',
      text: '{odd} shows {value} as a VIN, too short or too long to be compared with {vin} of {others}.',
    },
    'one-reading': { state: 'undecided', text: 'Only {files} shows a VIN, so there is nothing to compare it with.' },
    'only-partial': {
      state: 'undecided',
      text: 'Only parts of a VIN are shown ({values}), so no full one can be compared.',
    },
    'no-vin': { state: 'undecided', text: 'No file of the packet shows a VIN.' },
  },
  parameters: {},
  remedy:
    'Read the VIN at the vehicle and on the original of the odd document; have the wrong record replaced, or taken out if it belongs to another vehicle.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'a packet that mixes two vehicles',
    calibrator: 'work recorded for another vehicle',
    insurer: 'paying for another vehicle',
    owner: 'work on record that may not be on this vehicle',
  },
  collect: [],
  run(packet) {
    // What stands on the vehicle itself is compared by `vin-seen-on-vehicle`.
    const readings = collectVins(packet).filter(({ isSeen }) => !isSeen)
    const files = distinct(readings.map((reading) => reading.file))
    const evidence = distinctPlaces(readings.flatMap((reading) => reading.evidence))
    if (readings.length === 0) {
      const places = packet.documents.map((document) => ({ file: document.file, text: '' }))
      return [{ state: 'undecided', message: 'no-vin', data: {}, evidence: places }]
    }
    const full = readings.filter((reading) => reading.value.length === 17)
    if (full.length === 0) {
      const values = distinct(readings.map((reading) => reading.value))
      return [{ state: 'undecided', message: 'only-partial', data: { values }, evidence }]
    }
    if (files.length === 1 && readings.length === 1) {
      return [{ state: 'undecided', message: 'one-reading', data: { files }, evidence }]
    }
    return compareAll(readings, full)
  },
}

function compareAll(readings: readonly VinStatement[], full: readonly VinStatement[]): Outcome[] {
  const { reference, told, sides } = weighVins(full)
  const outcomes = [
    ...sides.filter((side) => side !== reference).map((side) => describeSide(side, reference, told)),
    ...readings.filter((reading) => reading.value.length !== 17).map((reading) => describePart(reading, reference)),
  ].filter((outcome) => !repeatsFull(outcome, full))
  if (outcomes.length > 0) return outcomes
  const { vin, statements } = reference
  const evidence = statements.flatMap((statement) => statement.evidence)
  return [{ state: 'met', message: 'agree', data: { vin, count: statements.length }, evidence }]
}

function describeSide(side: VinSide, reference: VinSide, told: boolean): Outcome {
  const comparison = compareVins(reference.vin, side.vin)
  const base = {
    odd: side.statements.map((statement) => statement.file),
    value: side.vin,
    vin: reference.vin,
    others: reference.statements.map((statement) => statement.file),
  }
  const evidence = [...side.statements, ...reference.statements].flatMap((statement) => statement.evidence)
  const { message, data } = told ? describeDifference(comparison) : { message: 'two-sides', data: {} }
  const positions = listPositions(reference.vin, side.vin)
  return { state: 'unmet', message, data: { ...base, positions, ...data }, evidence: distinctPlaces(evidence) }
}

function describeDifference(comparison: VinComparison): { message: string; data: Outcome['data'] } {
  switch (comparison.kind) {
    case 'look-alike': {
      const [expected, found] = comparison.pair
      return { message: 'look-alike', data: { position: comparison.position, expected, found } }
    }
    case 'swapped':
      return { message: 'swapped', data: { positions: comparison.positions } }
    case 'different':
      if (comparison.count <= fewCharacters) return { message: 'few-characters', data: {} }
      return { message: 'another-vehicle', data: { differing: comparison.count } }
    default:
      throw new Error(`two full VINs compare as ${comparison.kind}`)
  }
}

function describePart(part: VinStatement, reference: VinSide): Outcome {
  const others = reference.statements.map((statement) => statement.file)
  const data = { odd: part.file, value: part.written, vin: reference.vin, others }
  const evidence = distinctPlaces([...part.evidence, ...reference.statements.flatMap((one) => one.evidence)])
  const comparison = compareVins(part.written, reference.vin)
  if (comparison.kind !== 'partial' || !isPartial(part)) {
    return { state: 'undecided', message: 'not-comparable', data, evidence }
  }
  return { state: 'unmet', message: comparison.agrees ? 'partial-agrees' : 'partial-differs', data, evidence }
}

/** A file that shows the full number too is not made weaker by a part of it. */
function repeatsFull(outcome: Outcome, full: readonly VinStatement[]): boolean {
  return outcome.message === 'partial-agrees' && full.some((reading) => reading.file === outcome.data.odd)
}

function distinct(values: readonly string[]): string[] {
  return [...new Set(values)]
}
