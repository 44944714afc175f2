/** Which places of a report are shown as pictures, and what came of it. */
import type { ContrastSide } from '../checks/check.ts'
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
  /** Of a PDF: shown as the part of the file up to this byte has it. */
  end?: number
  /** One of two that are seen side by side: the number that both have, and which of the two it is. */
  beside?: { pair: number; label: string }
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
    const pairs = pairsOf(finding, index, documents)
    const own = wishesOf(finding, index, documents).filter((wish) => !pairs.flat().some((one) => isSamePage(one, wish)))
    const shown = [...pairs.slice(0, Math.ceil(limits.ofFinding / 2)).flat(), ...own.slice(0, limits.ofFinding)]
    left += pairs.flat().length + own.length - shown.length
    for (const wish of shown) {
      const key = JSON.stringify([wish.file, wish.page, wish.marks, wish.end, wish.beside?.label])
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

const isSamePage = (one: PictureWish, other: PictureWish): boolean =>
  one.file === other.file && one.page === other.page && one.end === other.end

/** For readings that tell against each other: both pages, with every place on them that differs. */
function pairsOf(
  finding: Finding,
  index: number,
  documents: ReadonlyMap<string, DocumentFacts>,
): [PictureWish, PictureWish][] {
  const pairs = new Map<string, [PictureWish, PictureWish]>()
  for (const { one, other } of finding.contrasts ?? []) {
    const key = JSON.stringify([one, other].map(({ file, page, end }) => [file, page, end]))
    const known = pairs.get(key)
    const sides = [one, other].map((side, at) => known?.[at] ?? startSide(side, index, pairs.size, documents))
    const [left, right] = sides
    if (left === null || right === null || left === undefined || right === undefined) continue
    addMark(left, one)
    addMark(right, other)
    pairs.set(key, [left, right])
  }
  return [...pairs.values()]
}

function startSide(
  { file, page, end, label, box }: ContrastSide,
  index: number,
  pair: number,
  documents: ReadonlyMap<string, DocumentFacts>,
): PictureWish | null {
  const document = documents.get(file)
  if (document === undefined || !drawable.test(document.media)) return null
  const isPhoto = document.media.startsWith('image/')
  if (!isPhoto && (page === undefined || box === undefined)) return null
  const wish = { file, page: isPhoto ? 1 : (page ?? 1), isPhoto, marks: [], words: [], findings: [index] }
  return { ...wish, ...(end === undefined ? {} : { end }), beside: { pair, label } }
}

function addMark(wish: PictureWish, { box, text }: FilePlace): void {
  if (box === undefined || wish.marks.some((mark) => mark.join() === box.join())) return
  wish.marks.push(box)
  if (text.trim() !== '' && !wish.words.includes(text.trim())) wish.words.push(text.trim())
}

export function isDrawing(drawn: Drawn): drawn is Drawing {
  return 'jpeg' in drawn
}
