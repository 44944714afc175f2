/** Turning facts into the places and names that outcomes carry. */
import type { DocumentFacts, Sensor } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Packet } from '../packet/packet.ts'

/**
 * Where a document's fact was read: the places under the dotted path, or under the nearest path above it
 * (`calibrations.0.serial` → `calibrations.0`); the file alone, with `otherwise` as its text, when no place was kept.
 */
export function findPlaces(document: DocumentFacts, path: string, otherwise = ''): FilePlace[] {
  for (let key = path; key !== ''; key = key.slice(0, Math.max(0, key.lastIndexOf('.')))) {
    const places = document.evidence[key]
    if (places !== undefined && places.length > 0) return places.map((place) => ({ file: document.file, ...place }))
  }
  return [{ file: document.file, text: otherwise }]
}

/** Where packet.yaml declares something; the file alone when the line was not kept. */
export function findDeclaredPlaces(packet: Packet, path: string, otherwise = ''): FilePlace[] {
  const place = packet.declaration?.places[path]
  return [place ?? { file: 'packet.yaml', text: otherwise }]
}

const plainNames: Partial<Record<Sensor, string>> = { other: 'other sensor', ultrasonic: 'ultrasonic sensors' }

/** A sensor in words: "left corner radar", "front camera". */
export function nameSensor(sensor: Sensor, position?: string | null): string {
  const name = plainNames[sensor] ?? sensor.replaceAll('-', ' ')
  return position ? `${position} ${name}` : name
}

/** Drops repeated places and, beside a place with words, the bare mention of the same file. Keeps the order. */
export function distinctPlaces(places: readonly FilePlace[]): FilePlace[] {
  const spoken = new Set(places.filter((place) => place.text !== '').map((place) => place.file))
  const seen = new Set<string>()
  return places.filter((place) => {
    if (place.text === '' && spoken.has(place.file)) return false
    const key = JSON.stringify([place.file, place.page, place.box, place.text])
    return !seen.has(key) && seen.add(key)
  })
}
