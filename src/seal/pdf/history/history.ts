/**
 * What an earlier revision of a PDF says and shows, against the file as it is: words as they were read of both, then what
 * no words tell, from the objects.
 */
import type { RevisionChange } from '../../../facts/pdf-history.ts'
import type { Box, Page, Place, Word } from '../../../facts/reading.ts'
import { compareEnds, type LocatedChange } from '../reading/changes.ts'
import { textOf } from '../reading/file.ts'
import { SyntaxFault } from '../reading/syntax.ts'
import { type Area, listAreas } from './areas.ts'
import { findRevisions, type Revision } from './ends.ts'
import { matchPages } from './pages.ts'
import { compareWords } from './rows.ts'

/** Places of facts by their dotted paths. */
export type FactPlaces = Readonly<Record<string, readonly Place[]>>

/** What was read of one state of the file. */
export interface StateRead {
  pages: readonly Page[]
  facts: FactPlaces
}

export interface HistoryPart extends Revision {
  id: readonly [string, string] | null
}

/** The states that the file was saved in, the oldest first. Null where how it is built cannot be followed. */
export function listParts(bytes: Uint8Array): HistoryPart[] | null {
  const revisions = findRevisions(bytes)
  return revisions?.map((revision) => ({ ...revision, id: identifierOf(revision) })) ?? null
}

function identifierOf({ file }: Revision): HistoryPart['id'] {
  const value = file.resolve(file.trailer.entries.get('ID'))
  const parts = value?.kind === 'array' ? value.items.map((item) => file.resolve(item)) : []
  const [first, second] = parts.map((part) => (part?.kind === 'string' ? Buffer.from(part.value).toString('hex') : ''))
  return first && second && textOf(parts[0]) !== null ? [first, second] : null
}

/** Every difference that somebody could see or that could act; none where the two say and show the same. */
export function compareParts(
  before: HistoryPart,
  after: HistoryPart,
  earlier: StateRead,
  later: StateRead,
): RevisionChange[] {
  try {
    const areas = { before: listAreas(before.file), after: listAreas(after.file) }
    const fields = compareFields(areas.before, areas.after, earlier, later)
    const marks = compareMarks(areas.before, areas.after, earlier, later)
    const explained = [...fields, ...marks, ...signaturesOf(areas.after)].flatMap(({ after: place, before: old }) =>
      [place, old].filter((one) => one !== null),
    )
    const words = compareStates(earlier, later, explained)
    const objects = compareEnds({ before: before.file, after: after.file }, null)
    return [...words, ...fields, ...marks, ...describeObjects(objects, [...words, ...fields, ...marks])]
  } catch (error) {
    if (!(error instanceof SyntaxFault)) throw error
    const words = compareStates(earlier, later, [])
    return [...words, change('unclear', `what was added cannot be followed (${error.message})`)]
  }
}

const change = (kind: RevisionChange['kind'], text: string, more: Partial<RevisionChange> = {}): RevisionChange => ({
  kind,
  text,
  before: null,
  after: null,
  facts: [],
  ...more,
})

/** By more than a hair's breadth. */
export const overlap = (one: Box, other: Box): boolean =>
  Math.min(one[2], other[2]) - Math.max(one[0], other[0]) > 0.5 &&
  Math.min(one[3], other[3]) - Math.max(one[1], other[1]) > 0.5

const inside = (box: Box, { box: area }: Place): boolean => {
  const [x, y] = [(box[0] + box[2]) / 2, (box[1] + box[3]) / 2]
  return x >= area[0] - 2 && x <= area[2] + 2 && y >= area[1] - 2 && y <= area[3] + 2
}

/** Paths of the facts that were read at boxes of a page. */
export function factsAt(facts: FactPlaces, page: number, boxes: readonly Box[]): string[] {
  return Object.entries(facts).flatMap(([path, places]) =>
    places.some((place) => place.page === page && boxes.some((box) => overlap(box, place.box))) ? [path] : [],
  )
}

const distinct = (paths: readonly string[]): string[] => [...new Set(paths)].sort()

function compareStates(earlier: StateRead, later: StateRead, explained: readonly Place[]): RevisionChange[] {
  return matchPages(earlier.pages, later.pages).flatMap(([old, now]): RevisionChange[] => {
    const page = now?.number ?? old?.number ?? 1
    if (old === null || now === null) return [describePage(old, now, earlier, later)]
    const [was, is] = [old, now].map(({ words }) => words.filter(({ turned }) => turned !== true))
    const { changed, isReordered } = compareWords(page, was ?? [], is ?? [])
    const own = changed.filter(
      ({ gone, come }) =>
        ![...gone, ...come].every((box) => explained.some((place) => place.page === page && inside(box, place))),
    )
    const moved = isReordered ? [change('moved', `words of page ${page} stand elsewhere`, placeOn(page))] : []
    return [
      ...moved,
      ...own.map(({ before, after, gone, come }) => {
        const place = before === null ? null : { ...before, page: old.number }
        const facts = distinct([...factsAt(earlier.facts, old.number, gone), ...factsAt(later.facts, page, come)])
        const isOver = was?.some(({ box }) => come.some((other) => covers(other, box))) ?? false
        const replaces = gone.length > 0 || isOver ? { replaces: true as const } : {}
        return change('words', `words of page ${page} are others`, { before: place, after, facts, ...replaces })
      }),
    ]
  })
}

/** Most of a word lies under another. */
function covers(upper: Box, word: Box): boolean {
  const across = Math.min(upper[2], word[2]) - Math.max(upper[0], word[0])
  const down = Math.min(upper[3], word[3]) - Math.max(upper[1], word[1])
  return across > 0.3 * (word[2] - word[0]) && down > 0.5 * (word[3] - word[1])
}

/** A page that one of the two states has alone. */
function describePage(old: Page | null, now: Page | null, earlier: StateRead, later: StateRead): RevisionChange {
  const place = (page: Page | null): Place | null =>
    page === null
      ? null
      : { page: page.number, box: [0, 0, page.width, page.height], text: joinWords(page.words).slice(0, 80) }
  const [before, after] = [place(old), place(now)]
  const facts = [
    ...(before === null ? [] : factsAt(earlier.facts, before.page, [before.box])),
    ...(after === null ? [] : factsAt(later.facts, after.page, [after.box])),
  ]
  const text = after === null ? `page ${before?.page} was taken out` : `page ${after.page} was added`
  return change('pages', text, { before, after, facts: distinct(facts) })
}

const joinWords = (words: readonly Word[]): string => words.map(({ text }) => text).join(' ')

/** A page without a spot of its own. */
const placeOn = (page: number): Pick<RevisionChange, 'after'> => ({
  after: { page, box: [0, 0, 0, 0], text: '' },
})

const placeOfArea = ({ page, box }: Area, text: string): Place => ({ page, box, text })

const signaturesOf = (areas: readonly Area[]): { before: Place | null; after: Place | null }[] =>
  areas.filter(({ field }) => field?.isSignature).map((area) => ({ before: null, after: placeOfArea(area, '') }))

function compareFields(
  before: readonly Area[],
  after: readonly Area[],
  earlier: StateRead,
  later: StateRead,
): RevisionChange[] {
  const old = new Map(before.flatMap((area) => (area.field === null ? [] : [[area.field.name, area] as const])))
  return after.flatMap((area): RevisionChange[] => {
    if (area.field === null || area.field.isSignature) return []
    const { name, value } = area.field
    const was = old.get(name)
    if ((was?.field?.value ?? '') === value) return []
    const wasEmpty = (was?.field?.value ?? '') === ''
    const facts = distinct([
      ...(was === undefined ? [] : factsAt(earlier.facts, was.page, [was.box])),
      ...factsAt(later.facts, area.page, [area.box]),
    ])
    const text = wasEmpty ? `the field ${name} was filled in` : `the field ${name} was changed`
    return [
      change('field', text, {
        before: was === undefined ? null : placeOfArea(was, was.field?.value ?? ''),
        after: placeOfArea(area, value),
        facts,
        ...(wasEmpty ? { wasEmpty: true as const } : {}),
      }),
    ]
  })
}

/** Marks that hide nothing of what they lie on. */
export const remarks: ReadonlySet<string> = new Set([
  'Text',
  'Highlight',
  'Underline',
  'Squiggly',
  'Link',
  'Popup',
  'Caret',
  'Widget',
])

const keyOf = ({ page, subtype, box, text }: Area): string =>
  JSON.stringify([page, subtype, box.map((edge) => Math.round(edge)), text])

function compareMarks(
  before: readonly Area[],
  after: readonly Area[],
  earlier: StateRead,
  later: StateRead,
): RevisionChange[] {
  const [old, now] = [before, after].map(
    (areas) => new Map(areas.filter(({ subtype }) => !remarks.has(subtype)).map((area) => [keyOf(area), area])),
  ) as [Map<string, Area>, Map<string, Area>]
  const added = [...now].filter(([key]) => !old.has(key)).map(([, area]) => area)
  const removed = [...old].filter(([key]) => !now.has(key)).map(([, area]) => area)
  return [
    ...added.map((area) =>
      change('mark', `an annotation (${area.subtype}) was added to page ${area.page}`, {
        before: coveredBy(area, earlier.pages),
        after: placeOfArea(area, area.text),
        facts: distinct(factsAt(earlier.facts, area.page, [area.box])),
        ...(area.isOpaque ? { isOpaque: true as const } : {}),
      }),
    ),
    ...removed.map((area) =>
      change('mark', `an annotation (${area.subtype}) was taken off page ${area.page}`, {
        before: placeOfArea(area, area.text),
        facts: distinct(factsAt(later.facts, area.page, [area.box])),
      }),
    ),
  ]
}

/** The words that an area lies on; null where it lies on none. */
export function coveredBy({ page, box }: Area, pages: readonly Page[]): Place | null {
  const words = pages.find(({ number }) => number === page)?.words.filter((word) => overlap(word.box, box)) ?? []
  return words.length === 0 ? null : { page, box, text: joinWords(words).slice(0, 300) }
}

/** What no words tell: pages drawn otherwise, signatures, scripts. */
function describeObjects(objects: readonly LocatedChange[], told: readonly RevisionChange[]): RevisionChange[] {
  const pages = new Set(
    told.flatMap(({ before, after }) => [before?.page, after?.page]).filter((page) => page !== undefined),
  )
  const count = objects.some(({ kind }) => kind === 'pages')
  return objects.flatMap(({ kind, effect, text, page }): RevisionChange[] => {
    switch (kind) {
      case 'page':
        // Where pages were added or taken out, those behind them are others by their place alone.
        return count || (page !== null && pages.has(page))
          ? []
          : [change('drawing', text, page === null ? {} : placeOn(page))]
      case 'signature':
      case 'active':
        return [change(kind, text)]
      case 'other':
        return effect === 'harmless' ? [] : [change('unclear', text)]
      default:
        return []
    }
  })
}
