/**
 * Where a PDF was saved before (ISO 32000-1, 7.5.6): each update leaves the file as it was and adds its own end, so that
 * the bytes up to an earlier end are the file of that time.
 *
 * `startxref N` and `%%EOF` are only an end where the bytes up to there are a file: a cross-reference section stands at N,
 * and all that it leads back to. That leaves out the first end of a linearised file (Annex F), which is no file without
 * what follows, and those of files that are attached.
 */
import { catalogOf, openPdf, type PdfFile } from '../reading/file.ts'
import { latin, SyntaxFault } from '../reading/syntax.ts'

export interface Revision {
  end: number
  file: PdfFile
}

/** Of one file. Where it has more, the first and the newest are told of. */
export const mostRevisions = 24
/** Ends that are looked at, from the first and from the last: more are a file made to keep a reader busy. */
const mostCandidates = 64

/** From the oldest to the file as it is. Null where how it is built cannot be followed at all. */
export function findRevisions(bytes: Uint8Array): Revision[] | null {
  const last = tryOpen(bytes)
  if (last === null) return null
  const earlier: Revision[] = []
  for (const { end } of chooseCandidates(findEnds(bytes))) {
    const file = tryOpen(bytes.subarray(0, end))
    if (file?.damage === null) earlier.push({ end, file })
  }
  const kept = earlier.length < mostRevisions ? earlier : [...earlier.slice(0, 1), ...earlier.slice(2 - mostRevisions)]
  return [...kept, { end: bytes.length, file: last }]
}

function tryOpen(bytes: Uint8Array): PdfFile | null {
  try {
    const file = openPdf(bytes)
    return catalogOf(file) === null ? null : file
  } catch (error) {
    if (error instanceof SyntaxFault) return null
    throw error
  }
}

interface End {
  start: number
  end: number
}

/** Ends behind which more follows, the first for each section that they lead to. */
function findEnds(bytes: Uint8Array): End[] {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length)
  const found = new Map<number, End>()
  for (let at = buffer.indexOf('startxref'); at >= 0; at = buffer.indexOf('startxref', at + 9)) {
    const told = /^startxref[\0\t\n\f\r ]+(\d{1,12})[\0\t\n\f\r ]+%%EOF(?:\r\n|\r|\n)?/.exec(
      latin(bytes.subarray(at, at + 80)),
    )
    if (told === null) continue
    const [start, end] = [Number(told[1]), at + told[0].length]
    if (start < at && !found.has(start) && standsSection(bytes, start)) found.set(start, { start, end })
  }
  const newest = [...found.values()].toSorted((a, b) => a.end - b.end)
  const final = newest.at(-1)
  // What follows the last end is no part of the file.
  return final === undefined ? [] : newest.filter((one) => one !== final)
}

const standsSection = (bytes: Uint8Array, at: number): boolean =>
  /^[\0\t\n\f\r ]{0,4}(?:xref|\d{1,10}[\0\t\n\f\r ]+\d{1,5}[\0\t\n\f\r ]+obj)/.test(latin(bytes.subarray(at, at + 40)))

const chooseCandidates = (ends: readonly End[]): readonly End[] =>
  ends.length <= mostCandidates ? ends : [...ends.slice(0, mostCandidates / 2), ...ends.slice(-mostCandidates / 2)]
