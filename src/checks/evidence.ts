/** Where an outcome points: the places that a document's facts were read at. */
import type { DocumentFacts } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'

/**
 * The places of the first of `paths` (`calibrations.0.ended`, `date`, …) that has any, in order of preference; where none
 * has, the file itself, so that an outcome never stands without a place.
 */
export function placesOf(document: DocumentFacts, ...paths: readonly string[]): FilePlace[] {
  for (const path of paths) {
    const places = document.evidence[path]
    if (places !== undefined && places.length > 0) return places.map((place) => ({ file: document.file, ...place }))
  }
  return [{ file: document.file, text: '' }]
}

/** The places of every one of `paths`; the file itself where none has any. */
export function allPlacesOf(document: DocumentFacts, paths: readonly string[]): FilePlace[] {
  const places = paths.flatMap((path) => document.evidence[path] ?? [])
  if (places.length === 0) return [{ file: document.file, text: '' }]
  return places.map((place) => ({ file: document.file, ...place }))
}

/** Drops repeated places and, beside a place with words, the bare mention of the same file. Keeps the order. */
export function distinctPlaces(places: readonly FilePlace[]): FilePlace[] {
  const spoken = new Set(places.filter((place) => place.text !== '').map((place) => place.file))
  const seen = new Set<string>()
  return places.filter((place) => {
    if (place.text === '' && spoken.has(place.file)) return false
    const key = JSON.stringify([place.file, place.page, place.box, place.text])
    if (seen.has(key)) return false
    seen.add(key)
    return true
  })
}
