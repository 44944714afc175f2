/** What is shown of a packet's files: bytes, pictures of pages, words in their places, tracks of drives. */
import { archives, findKept, type Reading } from '../../index.ts'
import type { TrackView, WordsView } from '../contract.ts'
import type { Desk } from './desk.ts'
import { ProblemError } from './problem.ts'

export interface EvidenceFile {
  path: string
  sha256: string
  bytes: number
}

/** A file of a packet by its number, from 1. Throws ProblemError 404. */
export async function findFile({ archive }: Desk, accession: string, number: number): Promise<EvidenceFile> {
  const { files } = await findKept(archive, accession)
  const file = files[number - 1]
  if (file === undefined) throw new ProblemError(404, `${accession} has no file ${number}`)
  return file
}

/** The most that is read into memory to be shown. */
const mostShown = 256 * 1024 ** 2

/** Whole content, proved against its digest. Throws ProblemError 410 for one that the archive lost, 413 for a huge one. */
export async function readFile({ archive }: Desk, { path, sha256, bytes }: EvidenceFile): Promise<Uint8Array> {
  if (bytes > mostShown) throw new ProblemError(413, `${path} is too large to be shown`, { mend: 'Export the packet.' })
  const content = await archives.readObject(archive.outside.storage, sha256)
  if (content !== null) return content
  throw new ProblemError(410, `${path} is lost or not what it was`, {
    mend: 'See "witnessmark archive verify" and "archive repair-plan".',
  })
}

export interface Evidence {
  words(file: EvidenceFile, media: string): Promise<WordsView>
  /** Null for a file without a track. */
  track(file: EvidenceFile, media: string): Promise<TrackView | null>
  /** A page as a picture, whole. Throws ProblemError 422 for one that cannot be drawn. */
  picture(file: EvidenceFile, media: string, page: number): Promise<{ jpeg: Uint8Array; region: readonly number[] }>
}

/** Readings and pictures that were shown last are kept, so that looking twice costs nothing. */
const [mostReadings, mostPictures] = [8, 24]

export function openEvidence(desk: Desk): Evidence {
  const readings = makeCache<Reading>(mostReadings)
  const pictures = makeCache<{ jpeg: Uint8Array; region: readonly number[] }>(mostPictures)
  const read = (file: EvidenceFile, media: string) =>
    readings(`${file.sha256} ${media}`, async () =>
      desk.outside.read(await readFile(desk, file), { path: file.path, media }),
    )
  return {
    async words(file, media) {
      const { pages } = await read(file, media)
      return {
        pages: pages.map(({ width, height, words }, at) => ({
          page: at + 1,
          width,
          height,
          words: words.map(({ text, box, shown }) => ({
            text,
            box: [...(shown ?? box)] as [number, number, number, number],
          })),
        })),
      }
    },
    async track(file, media) {
      const { track } = await read(file, media)
      return track === undefined ? null : viewTrack(track)
    },
    picture: (file, media, page) =>
      pictures(`${file.sha256} ${page}`, async () => {
        const [drawn] = await desk.outside.draw(await readFile(desk, file), { path: file.path, media }, [
          { page, marks: [] },
        ])
        if (drawn === undefined || 'fault' in drawn)
          throw new ProblemError(422, `Page ${page} of ${file.path} cannot be drawn`, { detail: drawn?.fault ?? '' })
        return { jpeg: drawn.jpeg, region: drawn.region }
      }),
  }
}

/** Keeps the last that were asked for; what failed is asked for anew. */
function makeCache<Value>(most: number): (key: string, make: () => Promise<Value>) => Promise<Value> {
  const kept = new Map<string, Promise<Value>>()
  return (key, make) => {
    const found = kept.get(key) ?? make()
    kept.delete(key)
    kept.set(key, found)
    found.catch(() => kept.delete(key))
    const [oldest] = kept.keys()
    if (kept.size > most && oldest !== undefined) kept.delete(oldest)
    return found
  }
}

const mostPoints = 5000

/** Evenly taken, the last point too. */
export function viewTrack({ clock, offset, points }: NonNullable<Reading['track']>): TrackView {
  const step = Math.max(1, points.length / mostPoints)
  const first = points.find(({ time }) => time !== null)?.time ?? 0
  const chosen = Array.from({ length: Math.ceil(points.length / step) }, (_, at) => points[Math.floor(at * step)])
  const last = points.at(-1)
  if (last !== undefined && chosen.at(-1) !== last) chosen.push(last)
  return {
    clock,
    offset,
    points: chosen.flatMap((point) => {
      if (point === undefined) return []
      const { time, latitude = null, longitude = null, speed, wheelSpeed } = point
      const metres = speed ?? wheelSpeed
      return [
        {
          second: time === null ? null : time - first,
          latitude,
          longitude,
          kmh: metres === undefined ? null : metres * 3.6,
        },
      ]
    }),
  }
}
