import { checkDigit, checkDigitHolds, isVinAlphabet, lookAlikeRepairs } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { collectVins, isPartial, type VinStatement } from './vin-readings.ts'

export const vinWellFormed: Check = {
  id: 'vin-well-formed',
  group: 'identity',
  claim: 'Every full VIN in the packet can be a VIN.',
  messages: {
    'well-formed': {
      state: 'met',
      text: 'The VIN {vin} in {files} has 17 valid characters and its check digit holds.',
    },
    'bad-character': {
      state: 'unmet',
      text: 'The VIN {vin} in {files} holds {characters}, which no VIN holds{repair}.',
    },
    'wrong-length': { state: 'unmet', text: 'The VIN {vin} in {files} has {length} characters instead of 17.' },
    'check-digit-fails': {
      state: 'unmet',
      text: 'The check digit of the VIN {vin} in {files} is {found} and should be {expected}, so at least one character is wrong{repair}.',
    },
    'check-digit-elsewhere': {
      state: 'unmet',
      text: 'Position 9 of the VIN {vin} in {files} is {found}; as a check digit it would be {expected}, but where this vehicle was made none is required.',
    },
    'no-check-digit': {
      state: 'undecided',
      text: 'The VIN {vin} in {files} has 17 valid characters; position 9 is {found}, which is no check digit, and where this vehicle was made none is required, so a wrong character would not show.',
    },
    'only-partial': {
      state: 'undecided',
      text: 'Only parts of a VIN are shown ({values}), which have no check digit.',
    },
    'no-vin': { state: 'undecided', text: 'No file of the packet shows a VIN.' },
  },
  parameters: {
    checkDigitFirst: 'First characters of the VINs whose check digit the law requires.',
  },
  remedy:
    'Compare the number with the plate at the windshield or the door label, and have the record printed again with the right one.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'a record of a vehicle that does not exist',
    calibrator: 'work recorded under a mistyped number',
    insurer: 'paying on a number that is nobody’s',
  },
  collect: [],
  run(packet, parameters) {
    const readings = collectVins(packet)
    if (readings.length === 0)
      return [{ state: 'undecided', message: 'no-vin', data: {}, evidence: namedFiles(packet) }]
    const full = readings.filter((reading) => !isPartial(reading))
    if (full.length === 0) {
      const data = { values: [...new Set(readings.map((reading) => reading.value))] }
      return [{ state: 'undecided', message: 'only-partial', data, evidence: readings.flatMap((one) => one.evidence) }]
    }
    const first = listParameter(parameters, 'checkDigitFirst')
    const values = [...new Set(full.map((reading) => reading.value))].sort()
    return values.map((vin) =>
      examine(
        vin,
        full.filter((reading) => reading.value === vin),
        first,
      ),
    )
  },
}

function namedFiles(packet: Packet): Outcome['evidence'] {
  return packet.documents.map((document) => ({ file: document.file, text: '' }))
}

function examine(vin: string, readings: readonly VinStatement[], requiringFirst: readonly string[]): Outcome {
  const evidence = readings.flatMap((reading) => reading.evidence)
  const files = readings.map((reading) => reading.file)
  const unmet = (message: string, data: Outcome['data']): Outcome => {
    return { state: 'unmet', message, data: { vin, files, ...data }, evidence }
  }
  if (vin.length !== 17) return unmet('wrong-length', { length: vin.length })
  if (!isVinAlphabet(vin)) {
    const characters = [...new Set([...vin].filter((character) => !isVinAlphabet(character)))]
    return unmet('bad-character', { characters, repair: offerRepair(vin) })
  }
  if (checkDigitHolds(vin)) return { state: 'met', message: 'well-formed', data: { vin, files }, evidence }
  const data = { found: vin.charAt(8), expected: checkDigit(vin) }
  if (!requiringFirst.includes(vin.charAt(0))) {
    // 49 CFR 565.15(c): a check digit is 0 to 9 or X. Any other sign fills a place that its maker does not use.
    if (/[0-9X]/.test(data.found)) return unmet('check-digit-elsewhere', data)
    return { state: 'undecided', message: 'no-check-digit', data: { vin, files, found: data.found }, evidence }
  }
  return unmet('check-digit-fails', { ...data, repair: offerRepair(vin) })
}

/** The readings that look-alike characters suggest, for a person to compare; never put in the place of what is printed. */
function offerRepair(vin: string): string {
  const offers = lookAlikeRepairs(vin).filter((repair) => repair.checkDigitHolds)
  return offers.length === 0 ? '' : ` (perhaps ${offers.map((repair) => repair.vin).join(' or ')})`
}
