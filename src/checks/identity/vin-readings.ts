/** Every reading of the vehicle's number in a packet, one entry a file and value. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { checkDigitHolds, normaliseVin } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'

export interface VinStatement {
  /** `packet.yaml` for a declared number. */
  file: string
  /** Without separators, upper case. */
  value: string
  /** As written: a mask such as `***` tells a prefix from a suffix. */
  written: string
  /** Read off the vehicle, on a photo of its label. */
  isSeen: boolean
  evidence: FilePlace[]
}

/** Longest part of a VIN that documents show on purpose: the last six or eight, or the first eleven with the rest masked. */
const longestPart = 11

/** True for a part of a VIN, shown as such; a longer number that is not 17 long is a miswritten VIN. */
export function isPartial(statement: VinStatement): boolean {
  return statement.value.length <= longestPart || /[*•]/.test(statement.written)
}

/** The readings of all files, in the order of files, then the declared one. */
export function collectVins(packet: Packet): VinStatement[] {
  const declared = packet.declaration?.vehicle?.vin
  return [
    ...packet.documents.flatMap(collectOfDocument),
    ...(declared === undefined
      ? []
      : [
          {
            file: 'packet.yaml',
            value: normaliseVin(declared),
            written: declared,
            isSeen: false,
            evidence: findDeclaredPlaces(packet, 'vehicle.vin', declared),
          },
        ]),
  ]
}

function collectOfDocument(document: DocumentFacts): VinStatement[] {
  const found = new Map<string, VinStatement>()
  const add = (written: string, evidence: FilePlace[]): void => {
    const value = normaliseVin(written)
    const known = found.get(value)
    if (known) known.evidence.push(...evidence)
    else if (value !== '')
      found.set(value, {
        file: document.file,
        value,
        written,
        isSeen: document.kind === 'photo',
        evidence: [...evidence],
      })
  }
  for (const reading of document.vins ?? []) {
    const places = reading.evidence.map((place) => ({ file: document.file, ...place }))
    add(reading.value, places.length > 0 ? places : [{ file: document.file, text: reading.value }])
  }
  const main = document.vin
  if (main !== undefined && !found.has(normaliseVin(main))) add(main, findPlaces(document, 'vin', main))
  return [...found.values()]
}

/** What some files show. */
export interface VinSide {
  vin: string
  statements: VinStatement[]
}

/**
 * The value that the others are measured by, of at least one full VIN: the one that most files show; among equals the only one whose check digit
 * holds. `told` is false when neither settles it.
 */
export function weighVins(full: readonly VinStatement[]): { reference: VinSide; told: boolean; sides: VinSide[] } {
  const sides = [...Map.groupBy(full, ({ value }) => value)].map(([vin, statements]) => ({ vin, statements }))
  const most = Math.max(...sides.map((side) => side.statements.length))
  const leading = sides.filter((side) => side.statements.length === most)
  const valid = leading.filter((side) => checkDigitHolds(side.vin))
  const candidates = valid.length > 0 ? valid : leading
  const [reference] = candidates
  if (reference === undefined) throw new Error('no VIN to measure by')
  return { reference, told: candidates.length === 1, sides }
}

/** Where two VINs differ, from 1. */
export function listPositions(a: string, b: string): number[] {
  return [...a].flatMap((character, index) => (character === b.charAt(index) ? [] : [index + 1]))
}

/** Up to this many differing characters are a slip of the pen or the eye; more are another vehicle. */
export const fewCharacters = 2
