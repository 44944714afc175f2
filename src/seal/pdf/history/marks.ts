/** Annotations that lie on words, in the file as it is. */
import type { PdfMark } from '../../../facts/pdf-history.ts'
import type { PdfFile } from '../reading/file.ts'
import { listAreas } from './areas.ts'
import { coveredBy, factsAt, remarks, type StateRead } from './history.ts'

/** Of those that could hide or change what is read; a note's own words are not what it lies on. */
export function listMarks(file: PdfFile, read: StateRead): PdfMark[] {
  return listAreas(file).flatMap((area): PdfMark[] => {
    if (remarks.has(area.subtype)) return []
    const own = new Set(area.text.split(/\s+/))
    const covered = coveredBy(area, read.pages)
    const over = covered?.text.split(' ').filter((word) => !own.has(word)) ?? []
    if (over.length === 0) return []
    const { page, box, subtype, text, isOpaque } = area
    const facts = factsAt(read.facts, page, [box])
    return [{ subtype, place: { page, box, text }, over: over.join(' '), isOpaque, facts }]
  })
}
