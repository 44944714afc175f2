/** What later revisions of a file did to what it said, weighed by what rests on it. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { RevisionChange } from '../../facts/pdf-history.ts'
import type { FilePlace, Place } from '../../facts/reading.ts'
import type { Contrast, ContrastSide } from '../check.ts'

/**
 * `changed`: words that facts were read from are others; `covered`: they lie under an opaque mark; `added`: facts were
 * read from words that came later; `other-words`: words are others from which no fact was read; `marked`: a mark came to
 * lie on words; `redrawn`: something else is drawn, or words stand elsewhere; `addition`: nothing that was there is
 * otherwise.
 */
export type EditKind = 'changed' | 'covered' | 'added' | 'other-words' | 'marked' | 'redrawn' | 'addition'

export interface Edit {
  kind: EditKind
  change: RevisionChange
  /** Number and end of the revision that it differs from. */
  revision: number
  end: number
}

/** Every difference once, as the earliest revision shows it. */
export function listEdits({ pdf }: DocumentFacts): Edit[] {
  const known = new Set<string>()
  return (pdf?.revisions ?? []).flatMap(({ number, end, changes }) =>
    (changes ?? []).flatMap((change): Edit[] => {
      const key = JSON.stringify([
        change.kind,
        change.text,
        change.before?.text,
        change.after?.text,
        change.after?.page,
      ])
      if (known.has(key) || change.kind === 'unclear') return []
      known.add(key)
      return [{ kind: weigh(change), change, revision: number, end }]
    }),
  )
}

function weigh({ kind, before, after, facts, replaces, wasEmpty, isOpaque }: RevisionChange): EditKind {
  const rests = facts.length > 0
  switch (kind) {
    case 'words':
      if (replaces) return rests ? 'changed' : 'other-words'
      return rests ? 'added' : 'other-words'
    case 'field':
      if (wasEmpty) return 'addition'
      return rests ? 'changed' : 'other-words'
    case 'mark':
      if (after === null) return rests ? 'redrawn' : 'addition'
      if (before === null) return 'addition'
      return isOpaque && rests ? 'covered' : 'marked'
    case 'pages':
      if (after === null) return rests ? 'changed' : 'other-words'
      return rests ? 'added' : 'addition'
    case 'moved':
    case 'drawing':
      return 'redrawn'
    default:
      return 'addition'
  }
}

/** A rectangle without size stands for a place on a page that is not told. */
const hasSpot = ({ box }: Place): boolean => box[2] > box[0] && box[3] > box[1]

/** Where the file as it is shows the difference; the file alone where it shows nothing there. */
export function placeOfEdit(file: string, { change: { after, before } }: Edit): FilePlace {
  if (after !== null) return hasSpot(after) ? { file, ...after } : { file, page: after.page, text: after.text }
  return { file, ...(before === null ? {} : { page: before.page }), text: '' }
}

/** Both readings of one difference. */
export function contrastOf(file: string, edit: Edit): Contrast {
  const { change, end, revision } = edit
  const page = change.after?.page ?? change.before?.page
  const side = (place: Place | null, other: Place | null): Omit<ContrastSide, 'label'> => {
    const shown = place ?? (other === null ? null : { ...other, text: '' })
    if (shown === null) return { file, text: '' }
    return hasSpot(shown) ? { file, ...shown } : { file, page: shown.page, text: shown.text }
  }
  const label = revision === 1 ? 'as first saved' : `as saved the ${ordinal(revision)} time`
  return {
    what: page === undefined ? change.text : `${file}, page ${page}`,
    one: { label, ...side(change.before, change.after), end },
    other: { label: 'as it is', ...side(change.after, change.before) },
  }
}

function ordinal(number: number): string {
  const [tens, ones] = [number % 100, number % 10]
  if (tens >= 11 && tens <= 13) return `${number}th`
  return `${number}${['th', 'st', 'nd', 'rd'][ones] ?? 'th'}`
}

export const quoteReading = (place: Place | null): string =>
  place === null || place.text === '' ? 'nothing there' : `“${place.text}”`

const names: Readonly<Record<string, string>> = {
  vin: 'VIN',
  vins: 'VIN',
  date: 'date',
  codes: 'trouble codes',
  modules: 'modules',
  calibrations: 'calibrations',
  operations: 'operations',
  odometer: 'odometer',
  instrument: 'instrument',
  technician: 'technician',
  alignment: 'alignment',
  conditions: 'conditions',
}

/** What was read there, for people: "VIN", "trouble codes". */
export function nameFacts(edits: readonly Edit[]): string[] {
  const heads = edits.flatMap(({ change }) => change.facts.map((path) => path.split('.')[0] ?? path))
  return [
    ...new Set(heads.map((head) => names[head] ?? head.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`))),
  ]
}
