/** Which places of a report are shown as pictures, and what came of it. */
import type { DocumentFacts } from '../facts/document.ts'
import type { Drawing, Drawn } from '../facts/drawing.ts'
import type { Box, FilePlace } from '../facts/reading.ts'
import type { Finding, Report } from './report.ts'

export interface PictureWish {
  file: string
  page: number
  /** Has no pages, and is shown whole. */
  isPhoto: boolean
  /** The places that the picture is to show. */
  marks: Box[]
  /** The words that stand there. */
  words: string[]
  /** Indices of the findings that rest on it. */
  findings: number[]
}

export interface Picture extends PictureWish {
  drawn: Drawn
}

export interface Pictures {
  pictures: Picture[]
  /** Pictures that were left out because there would have been too many. */
  left: number
}

export interface PictureLimits {
  pictures: number
  /** For one finding: what more files say alike shows nothing more. */
  ofFinding: number
  /** Of all pictures together. */
  bytes: number
}

export const defaultPictureLimits: PictureLimits = { pictures: 24, ofFinding: 3, bytes: 6_000_000 }

const drawable = /^(application\/pdf|image\/(jpeg|png|webp|gif))$/

/**
 * One wish for each page that a failing or warning finding rests on, worst findings first; findings that rest on the
 * same places share one. Only of files that a drawer knows.
 */
export function choosePictures(report: Report, limits: PictureLimits = defaultPictureLimits) {
  const documents = new Map(report.documents.map((document) => [document.file, document]))
  const wishes = new Map<string, PictureWish>()
  let left = 0
  for (const [index, finding] of report.findings.entries()) {
    if (finding.verdict !== 'fail' && finding.verdict !== 'warn') continue
    const own = wishesOf(finding, index, documents)
    left += Math.max(0, own.length - limits.ofFinding)
    for (const wish of own.slice(0, limits.ofFinding)) {
      const key = JSON.stringify([wish.file, wish.page, wish.marks])
      const same = wishes.get(key)
      if (same) same.findings.push(index)
      else if (wishes.size < limits.pictures) wishes.set(key, wish)
      else left += 1
    }
  }
  return { wishes: [...wishes.values()], left }
}

function wishesOf(finding: Finding, index: number, documents: ReadonlyMap<string, DocumentFacts>): PictureWish[] {
  const pages = new Map<string, PictureWish>()
  for (const place of finding.evidence) {
    const document = documents.get(place.file)
    if (document === undefined || !drawable.test(document.media)) continue
    const isPhoto = document.media.startsWith('image/')
    const page = isPhoto ? 1 : place.page
    if (page === undefined || (!isPhoto && place.box === undefined)) continue
    const key = `${place.file}\n${page}`
    const wish = pages.get(key) ?? { file: place.file, page, isPhoto, marks: [], words: [], findings: [index] }
    addMark(wish, place)
    pages.set(key, wish)
  }
  return [...pages.values()]
}

function addMark(wish: PictureWish, { box, text }: FilePlace): void {
  if (box === undefined || wish.marks.some((mark) => mark.join() === box.join())) return
  wish.marks.push(box)
  if (text.trim() !== '' && !wish.words.includes(text.trim())) wish.words.push(text.trim())
}

export function isDrawing(drawn: Drawn): drawn is Drawing {
  return 'jpeg' in drawn
}
