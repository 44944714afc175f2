/**
 * Model year, make and model against the VIN and each other.
 *
 * Position 10 codes the model year for vehicles of North America and China, and the same code comes back every 30 years;
 * for North American cars and light trucks position 7 tells which (49 CFR 565.15(d)). Elsewhere position 10 need not be
 * a year, so a year that does not fit proves nothing there. No code of manufacturers is used: make and model are only
 * compared between files.
 */

import type { FilePlace } from '../../facts/reading.ts'
import { checkDigitHolds, checkDigitRegion, isWellFormedVin, modelYears } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces, findDeclaredPlaces, findPlaces } from '../places.ts'
import { collectNames, mentionsName, sameVehicleName, type VehicleName } from './vehicle-names.ts'

export const vehicleMatchesVin: Check = {
  id: 'vehicle-matches-vin',
  group: 'identity',
  claim: 'Model year, make and model fit the VIN and are the same in every file.',
  messages: {
    'year-fits': {
      state: 'met',
      text: '{files} give the model year {year}, which fits the VIN {vin} (position 10: {code}).',
    },
    'year-differs': {
      state: 'unmet',
      text: '{files} give the model year {year}; position 10 of the VIN {vin} is {code}, the code of {coded}.',
    },
    'year-of-heavy': {
      state: 'unmet',
      text: '{files} give the model year {year}; position 10 of the VIN {vin} is {code}, and by position 7 ({seventh}) that is {coded} for a car or light truck.',
    },
    'names-differ': { state: 'unmet', text: '{odd} calls the vehicle {value} where {others} say {name}.' },
    'names-agree': { state: 'met', text: '{files} call the vehicle {name}.' },
    'year-not-coded': {
      state: 'undecided',
      text: '{files} give the model year {year}; the VIN {vin} comes from a region where position 10 ({code}) need not code it.',
    },
    'vin-doubtful': {
      state: 'undecided',
      text: '{files} give the model year {year}, and the VIN {vin} codes {coded}, but its check digit does not hold, so that position 10 itself may be misread.',
    },
    'no-year': { state: 'undecided', text: 'No file states both a full VIN and a model year.' },
  },
  parameters: {
    toleranceYears: 'How many years a stated model year may lie off the coded one.',
  },
  remedy: 'The registration or the certification label of the vehicle, which state VIN and model year together.',
  suppliers: ['shop', 'owner'],
  settledWith: 'vehicle',
  exposes: { insurer: 'paying for another vehicle than the one that the papers describe' },
  collect: [],
  run(packet, parameters) {
    const years = judgeYears(packet, numberParameter(parameters, 'toleranceYears'))
    const outcomes = [...years, ...judgeNames(packet)]
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-year', data: {}, evidence: [] }]
  },
}

interface YearStatement {
  file: string
  year: number
  vin: string
  evidence: FilePlace[]
}

/** Each stated year beside the VIN of the same file, or else that of the vehicle. */
function collectYears(packet: Packet): YearStatement[] {
  const read = packet.documents.flatMap((document): YearStatement[] => {
    const vin = isWellFormedVin(document.vin ?? '') ? document.vin : packet.vehicle.vin
    const year = document.vehicle?.year
    if (year === undefined || !vin || !isWellFormedVin(vin) || document.kind === 'other') return []
    const places = [...findPlaces(document, 'vehicle.year', String(year)), ...findPlaces(document, 'vin', vin)]
    return [{ file: document.file, year, vin, evidence: places }]
  })
  const { year, vin = packet.vehicle.vin } = packet.declaration?.vehicle ?? {}
  if (year === undefined || !vin || !isWellFormedVin(vin)) return read
  return [
    ...read,
    { file: 'packet.yaml', year, vin, evidence: findDeclaredPlaces(packet, 'vehicle.year', String(year)) },
  ]
}

/** One outcome for each pair of VIN and year. */
function judgeYears(packet: Packet, tolerance: number): Outcome[] {
  const groups = Map.groupBy(collectYears(packet), ({ vin, year }) => `${vin} ${year}`)
  return [...groups.values()].map((group) => {
    const [{ vin, year } = { vin: '', year: 0 }] = group
    const message = compareYear(vin, year, tolerance)
    const { possible, light } = modelYears(vin)
    const coded = checkDigitRegion(vin) === 'north-america' && light !== null ? [light] : possible
    const files = group.map(({ file }) => file)
    const data = { files, year, vin, code: vin.charAt(9), seventh: vin.charAt(6), coded }
    const evidence = distinctPlaces(group.flatMap((statement) => statement.evidence))
    const state =
      message === 'year-fits'
        ? 'met'
        : message.startsWith('year-not') || message === 'vin-doubtful'
          ? 'undecided'
          : 'unmet'
    return { state, message, data, evidence, working: explain(vin, year, coded, tolerance) }
  })
}

function compareYear(vin: string, year: number, tolerance: number): string {
  const { possible, light } = modelYears(vin)
  const fits = (coded: number | null) => coded !== null && Math.abs(coded - year) <= tolerance
  const region = checkDigitRegion(vin)
  const isCar = region === 'north-america'
  if (isCar ? fits(light) : possible.some(fits)) return 'year-fits'
  if (region === null || possible.length === 0) return 'year-not-coded'
  if (!checkDigitHolds(vin)) return 'vin-doubtful'
  return isCar && possible.some(fits) ? 'year-of-heavy' : 'year-differs'
}

function explain(vin: string, year: number, coded: readonly number[], tolerance: number): WorkingStep[] {
  return [
    {
      text: 'Position 10 of {vin} is {code}, position 7 is {seventh}: {coded}.',
      data: { vin, code: vin.charAt(9), seventh: vin.charAt(6), coded: coded.length > 0 ? coded : 'no model year' },
    },
    {
      text: 'The stated year {year} may lie {tolerance} off, as the model year may lead the calendar year.',
      data: { year, tolerance },
    },
  ]
}

function judgeNames(packet: Packet): Outcome[] {
  const names = collectNames(packet)
  const [first] = names
  if (first === undefined || names.length < 2) return []
  const votes = (one: VehicleName) => names.filter((other) => sameVehicleName(one, other)).length
  const reference = names.reduce((best, one) => (votes(one) > votes(best) ? one : best), first)
  const odd = names.filter((one) => !sameVehicleName(one, reference) && !mentionsName(packet, one.file, reference))
  const agreeing = names.filter((one) => sameVehicleName(one, reference))
  const others = agreeing.map(({ file }) => file)
  if (odd.length === 0) {
    const evidence = distinctPlaces(names.flatMap((name) => name.evidence))
    return [{ state: 'met', message: 'names-agree', data: { files: others, name: reference.written }, evidence }]
  }
  return [...Map.groupBy(odd, ({ written }) => written)].map(([value, group]) => {
    const data = { odd: group.map(({ file }) => file), value, others, name: reference.written }
    const evidence = distinctPlaces([...group, ...agreeing].flatMap((name) => name.evidence))
    return { state: 'unmet', message: 'names-differ', data, evidence }
  })
}
