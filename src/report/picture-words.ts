/** How pictures of the evidence are named, whatever the form of the report. */
import type { Picture } from '../findings/pictures.ts'

/** "scan after.pdf, page 2, as first saved"; a photo has no pages. */
export function namePlace({ file, page, isPhoto, beside }: Picture): string {
  const place = isPhoto ? file : `${file}, page ${page}`
  return beside === undefined || beside.label === file ? place : `${place}, ${beside.label}`
}

/** What the picture shows, for whoever does not see it. */
export function describePicture({ words, marks, isPhoto }: Picture): string {
  if (isPhoto && marks.length === 0) return 'Photo, as it is in the packet'
  return words.length === 0
    ? 'A part of it is marked, without words'
    : `Marked: ${words.map((text) => `“${text}”`).join(', ')}`
}

/** What is said of pictures that would have been too many. */
export function describeLeft(left: number): string {
  const are = left === 1 ? 'picture is' : 'pictures are'
  return `${left} more ${are} left out, so that the report stays small enough to send.`
}
