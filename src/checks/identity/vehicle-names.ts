/** What files call the vehicle: make and model, compared as people mean them. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'

export interface VehicleName {
  file: string
  /** As written: "Tessaly Ondine LX". */
  written: string
  make: string
  model: string
  evidence: FilePlace[]
}

/** Letters and digits in lower case: "T-4 Crew" and "T4 CREW" are one name. */
function plain(text: string): string {
  return text.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '')
}

/** Names of files whose role is known, and the declared one. The name of an instrument is none, wherever it was read. */
export function collectNames(packet: Packet): VehicleName[] {
  const instruments = new Set(packet.documents.flatMap(({ instrument }) => plain(instrument?.name ?? '') || []))
  const read = packet.documents.flatMap((document): VehicleName[] => {
    const { make = '', model = '' } = document.vehicle ?? {}
    if (document.kind === 'other') return []
    const kept = instruments.has(plain(model)) ? '' : model
    return nameOf(document.file, make, kept, placesOf(document))
  })
  const { make = '', model = '' } = packet.declaration?.vehicle ?? {}
  const evidence = findDeclaredPlaces(packet, 'vehicle', `${make} ${model}`.trim())
  return [...read, ...nameOf('packet.yaml', make, model, evidence)]
}

function nameOf(file: string, make: string, model: string, evidence: FilePlace[]): VehicleName[] {
  const written = `${make} ${model}`.trim()
  return plain(written) === '' ? [] : [{ file, written, make, model, evidence }]
}

function placesOf(document: DocumentFacts): FilePlace[] {
  const { make = '', model = '' } = document.vehicle ?? {}
  return findPlaces(document, 'vehicle.model', `${make} ${model}`.trim())
}

/** True where neither make nor model speaks against the other file's; what one of them leaves out speaks against nothing. */
export function sameVehicleName(a: VehicleName, b: VehicleName): boolean {
  return sameWords(a.make, b.make, a, b) && sameWords(a.model, b.model, a, b)
}

function sameWords(one: string, two: string, a: VehicleName, b: VehicleName): boolean {
  const [x, y] = [plain(one), plain(two)]
  if (x === '' || y === '' || holds(x, y)) return true
  // The make may stand in the model, or the model behind the make.
  return holds(plain(a.written), plain(b.written)) || isAbbreviation(x, y) || isAbbreviation(y, x)
}

function holds(x: string, y: string): boolean {
  return x.includes(y) || y.includes(x)
}

/** Up to four letters that stand in the name in their order, the first of them first: "Tsly" for Tessaly. */
function isAbbreviation(short: string, long: string): boolean {
  if (short.length > 4 || short.length >= long.length || short[0] !== long[0]) return false
  let from = 0
  return [...short].every((letter) => {
    const at = long.indexOf(letter, from)
    from = at + 1
    return at >= 0
  })
}

/** True where a line of the file names what the other calls the vehicle, so that no other vehicle is meant. */
export function mentionsName(packet: Packet, file: string, { model, written }: VehicleName): boolean {
  const wanted = plain(model === '' ? written : model)
  return (packet.content[file]?.lines ?? []).some((line) => plain(line.text).includes(wanted))
}
