/** Has the places that a report rests on drawn, from the packet that it was made of. */
import type { DrawingWish, Drawn } from './facts/drawing.ts'
import {
  choosePictures,
  defaultPictureLimits,
  isDrawing,
  type Picture,
  type PictureLimits,
  type Pictures,
  type PictureWish,
} from './findings/pictures.ts'
import type { Report } from './findings/report.ts'
import type { EvidenceFile } from './intake/evidence.ts'
import { openPacket } from './intake/open.ts'
import type { Storage } from './intake/storage.ts'

/** What drawing needs of the world outside. */
export interface DrawingOutside {
  storage: Storage
  /** Draws pages of one file, one answer a wish; never rejects for what a file holds. */
  draw(bytes: Uint8Array, hint: { path: string; media: string }, wishes: readonly DrawingWish[]): Promise<Drawn[]>
}

/**
 * Pictures of the pages that failing and warning findings rest on, in the order of the findings, within `limits`. What
 * cannot be drawn, or is no longer what was reviewed, has a fault in place of its picture. Throws IntakeError when the
 * packet at `path` cannot be opened any more.
 */
export async function drawEvidence(
  path: string,
  report: Report,
  outside: DrawingOutside,
  limits: PictureLimits = defaultPictureLimits,
): Promise<Pictures> {
  const { wishes, left } = choosePictures(report, limits)
  if (wishes.length === 0) return { pictures: [], left }
  const { files } = await openPacket(outside.storage, path)
  const byFile = Map.groupBy(wishes, ({ file }) => file)
  const drawn = new Map<PictureWish, Drawn>()
  await Promise.all(
    [...byFile].map(async ([name, own]) => {
      const hash = report.documents.find(({ file }) => file === name)?.sha256
      const file = files.find((candidate) => candidate.path === name && candidate.sha256 === hash)
      const answers = file === undefined ? own.map(() => changed) : await drawOne(file, own, outside)
      for (const [index, wish] of own.entries()) drawn.set(wish, answers[index] ?? changed)
    }),
  )
  return bound(
    wishes.map((wish) => ({ ...wish, drawn: drawn.get(wish) ?? changed })),
    left,
    limits.bytes,
  )
}

const changed: Drawn = { fault: 'the file is not what was reviewed' }

async function drawOne(file: EvidenceFile, wishes: PictureWish[], { draw }: DrawingOutside): Promise<Drawn[]> {
  const bytes = await file.read().catch(() => null)
  if (bytes === null) return wishes.map(() => changed)
  return draw(
    bytes,
    { path: file.path, media: file.media },
    wishes.map(({ page, marks, end }) => (end === undefined ? { page, marks } : { page, marks, end })),
  )
}

/** Keeps the first pictures that fit; a report must stay small enough to be sent. */
function bound(pictures: readonly Picture[], left: number, mostBytes: number): Pictures {
  let bytes = 0
  const kept = pictures.filter(({ drawn }) => {
    bytes += isDrawing(drawn) ? drawn.jpeg.length : 0
    return bytes <= mostBytes
  })
  return { pictures: kept, left: left + pictures.length - kept.length }
}
