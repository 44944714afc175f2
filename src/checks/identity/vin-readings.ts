/** Every reading of the vehicle's number in a packet, one entry a file and value. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { normaliseVin } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'

export interface VinStatement {
  /** `packet.yaml` for a declared number. */
  file: string
  /** Without separators, upper case. */
  value: string
  /** As written: a mask such as `***` tells a prefix from a suffix. */
  written: string
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
    else if (value !== '') found.set(value, { file: document.file, value, written, evidence: [...evidence] })
  }
  for (const reading of document.vins ?? []) {
    const places = reading.evidence.map((place) => ({ file: document.file, ...place }))
    add(reading.value, places.length > 0 ? places : [{ file: document.file, text: reading.value }])
  }
  const main = document.vin
  if (main !== undefined && !found.has(normaliseVin(main))) add(main, findPlaces(document, 'vin', main))
  return [...found.values()]
}
