/** What is shown beside a finding: its places gathered by page, those that tell against each other next to each other. */
import type { Box, FilePlace, Finding } from '../../../index.ts'

/** One page of one file, and what is marked on it. */
export interface Look {
  file: string
  /** From 1. */
  page: number
  marks: Box[]
  /** What stands at the marks, each once. */
  words: string[]
  /** "first saved", where a finding holds two readings against each other. */
  label: string | null
  /** The file up to this byte: an earlier state of it. Null for the file as it is. */
  end: number | null
}

type Side = FilePlace & { label?: string; end?: number }

/** Contrasts first, each reading beside the other; then the evidence in the finding's order. No page comes twice. */
export function gatherLooks({ evidence, contrasts = [] }: Pick<Finding, 'evidence' | 'contrasts'>): Look[] {
  const sides: Side[] = contrasts.flatMap(({ one, other }) => [one, other])
  const looks: Look[] = []
  for (const place of [...sides, ...evidence]) {
    const shown = looks.find((look) => isSamePage(look, place))
    if (shown === undefined) looks.push(addPlace(beginLook(place), place))
    else addPlace(shown, place)
  }
  return looks
}

const isSamePage = (look: Look, place: Side): boolean =>
  look.file === place.file && look.page === (place.page ?? 1) && look.end === (place.end ?? null)

const beginLook = ({ file, page = 1, label, end }: Side): Look => ({
  file,
  page,
  label: label ?? null,
  end: end ?? null,
  marks: [],
  words: [],
})

function addPlace(look: Look, { box, text, label }: Side): Look {
  // Both readings stand on this one page: the page is neither of them.
  if (label !== undefined && label !== look.label) look.label = null
  const isKnown = look.marks.some((mark) => mark.every((side, at) => side === box?.[at]))
  if (box !== undefined && !isKnown) look.marks.push(box)
  const words = text.trim()
  // What has no place was read of the file and stands on no page of it.
  if (box !== undefined && words !== '' && !look.words.includes(words)) look.words.push(words)
  return look
}

/** The file that declares a packet: its places are lines and columns of text. */
export const isDeclaration = (path: string): boolean => path === 'packet.yaml'
