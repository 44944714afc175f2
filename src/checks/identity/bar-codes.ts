/** Bar codes of a document, whether it is a picture or has pages, each with where it is. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { findPlaces } from '../places.ts'

export interface SeenCode {
  text: string
  evidence: FilePlace[]
}

/** Those of a photo first; texts as the codes hold them. */
export function listCodes(document: DocumentFacts): SeenCode[] {
  const ofPages = (document.barcodes ?? []).map(({ text }, index) => ({
    text,
    evidence: findPlaces(document, `barcodes.${index}`, text),
  }))
  const onPhoto = (document.photo?.barcodes ?? []).map(({ text }) => {
    const places = findPlaces(document, 'photo.barcodes', text)
    const own = places.filter((place) => place.text === text)
    return { text, evidence: own.length > 0 ? own : places }
  })
  return [...onPhoto, ...ofPages]
}
