/** The words of a file against its pages: facts rest on what a person sees, and a report says where a file holds more. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { UnseenWord } from '../../facts/reading.ts'
import type { Sight } from '../../facts/sight.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { placeFiles } from '../unread.ts'
import { plainValue, valueKind } from './value-kinds.ts'

/** Of one page; the file has the rest. */
const mostQuoted = 8

export const textMatchesPicture: Check = {
  id: 'text-matches-picture',
  group: 'documents',
  claim: 'The text of every PDF says what its pages show.',
  messages: {
    'as-seen': { state: 'met', text: '{files}: no value of the text is hidden from whoever looks at the pages.' },
    'painted-over': {
      state: 'unmet',
      text: '{file}, page {page}: {above} is seen where the text of the file also holds {beneath}, which is {because}.',
    },
    'other-letters': {
      state: 'unmet',
      text: '{file}, page {page}: the text of the file says {beneath}, and the letters drawn for it read {above}. No fact was read from it.',
    },
    'other-word-seen': {
      state: 'unmet',
      text: '{file}, page {page}: {above} is seen where the text of the file also holds {beneath}, which is {because}.',
    },
    unseen: {
      state: 'unmet',
      text: '{file}, page {page}: the text holds {words}, which cannot be seen: {because}. No fact was read from it.',
    },
    'layer-differs': {
      state: 'unmet',
      text: '{file}, page {page}: the text laid with the picture says {beneath}, and {above} is read in the picture itself.',
    },
    'layer-as-seen': {
      state: 'met',
      text: '{files}: what was read is the text laid with the picture of a page, and each of its {count} values is read in the picture too.',
    },
    'layer-in-part': {
      state: 'undecided',
      text: '{files}: what was read is the text laid with the picture of a page. {count} of its values are read in the picture too, and {unsure} are not, or not surely.',
    },
    'layer-not-compared': {
      state: 'undecided',
      text: '{files}: what was read is the text laid with the picture of a page, and has not been compared with the picture.',
    },
    'no-text': { state: 'undecided', text: '{files}: the pages are pictures without text of their own.' },
    'not-read': { state: 'undecided', text: 'The text of {files} could not be read.' },
    'no-pdf': {
      state: 'undecided',
      text: 'The packet holds no PDF, whose text could differ from what its pages show.',
    },
  },
  parameters: { outcomeWords: 'Words that state how something went.' },
  remedy: "The file as the instrument or the office's program made it, or the instrument's own stored record.",
  suppliers: ['calibrator', 'shop', 'instrument-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a record that says to programs what it does not show to people',
    shop: 'a record that says to programs what it does not show to people',
    insurer: 'relying on words that nobody saw',
  },
  collect: [],
  run(packet, parameters) {
    const outcomeWords = listParameter(parameters, 'outcomeWords')
    const files = packet.documents.filter(({ media }) => media === 'application/pdf')
    if (files.length === 0) return [{ state: 'undecided', message: 'no-pdf', data: {}, evidence: [] }]
    const told = files.flatMap((document) => {
      const sight = sightIn(packet, document)
      return [...tellUnseen(document, sight, outcomeWords), ...tellDiffering(document, sight, outcomeWords)]
    })
    const named = new Set(told.flatMap(({ evidence }) => evidence.map(({ file }) => file)))
    return [
      ...told,
      ...tellRest(
        packet,
        files.filter(({ file }) => !named.has(file)),
        outcomeWords,
      ),
    ]
  },
}

const sightIn = ({ content }: Packet, { file }: DocumentFacts): Sight | null => content[file]?.sight ?? null

type Unseen = Sight['unseen'][number]

const causes: Readonly<Record<UnseenWord['why'], string>> = {
  invisible: 'drawn invisibly',
  transparent: 'drawn without any opacity',
  'same-colour': 'of the colour of its ground',
  covered: 'covered by what is painted over it',
  clipped: 'cut off by the shape that it is drawn in',
  'off-page': 'beside the visible part of the page',
  tiny: 'too small to be read',
  'switched-off': 'on a layer that is switched off',
  'other-letters': 'drawn in other letters',
}

function tellUnseen({ file }: DocumentFacts, sight: Sight | null, outcomeWords: readonly string[]): Outcome[] {
  const words = sight?.unseen ?? []
  const replaced = distinct(words.filter(isReplaced)).map((word) => tellReplaced(file, word, outcomeWords))
  const values = words.filter((word) => !isReplaced(word) && valueKind(word.text, outcomeWords) !== null)
  const groups = Map.groupBy(values, ({ page, why }) => `${page} ${why}`)
  return [...replaced, ...[...groups.values()].map((group) => tellHidden(file, group))]
}

/** Is something else seen in its place, and not only more or less of the same? */
function isReplaced({ replaced }: Unseen): boolean {
  if (replaced === undefined) return false
  const [beneath, above] = [plainValue(replaced.beneath), plainValue(replaced.above)]
  return beneath.length > 0 && above.length > 0 && !beneath.includes(above) && !above.includes(beneath)
}

/** The parts of one word that was covered letter by letter tell one thing. */
function distinct(words: readonly Unseen[]): Unseen[] {
  const seen = new Set<string>()
  return words.filter(({ page, replaced }) => {
    const key = JSON.stringify([page, replaced])
    return !seen.has(key) && seen.add(key)
  })
}

function tellReplaced(file: string, word: Unseen, outcomeWords: readonly string[]): Outcome {
  const { page, box, why, text, replaced } = word
  const { beneath, above } = replaced ?? { beneath: text, above: '' }
  const [kind, other] = [beneath, above].map((side) => (/^\d+$/.test(side) ? 'number' : valueKind(side, outcomeWords)))
  return {
    state: 'unmet',
    message: kind === null || kind !== other ? 'other-word-seen' : why === 'other-letters' ? why : 'painted-over',
    data: { file, page, beneath, above, because: causes[why] },
    evidence: [{ file, page, box, text: above }],
    contrasts: [
      {
        what: `page ${page}`,
        one: { label: 'in the text', file, page, box, text: beneath },
        other: { label: 'seen there', file, page, box, text: above },
      },
    ],
  }
}

function tellHidden(file: string, words: readonly Unseen[]): Outcome {
  const [first] = words
  const more = words.length - mostQuoted
  const quoted = words.slice(0, mostQuoted).map(({ text }) => text)
  return {
    state: 'unmet',
    message: 'unseen',
    data: {
      file,
      page: first?.page ?? 1,
      words: more > 0 ? [...quoted, `${more} more`] : quoted,
      because: first === undefined ? '' : causes[first.why],
    },
    evidence: words.map(({ page, box, text }) => ({ file, page, box, text })),
  }
}

/** Values of the text laid with a picture that are read in the picture as something else. */
function tellDiffering({ file }: DocumentFacts, sight: Sight | null, outcomeWords: readonly string[]): Outcome[] {
  const found = (sight?.layers ?? []).flatMap(({ page, compared }) =>
    (compared?.differing ?? []).filter(({ text }) => holdsValue(text, outcomeWords)).map((word) => ({ ...word, page })),
  )
  const once = new Map(
    found.map((word) => [JSON.stringify([word.page, word.text, word.seen, Math.round(word.box[1])]), word]),
  )
  return [...once.values()].map(({ page, box, text, seen }): Outcome => {
    return {
      state: 'unmet',
      message: 'layer-differs',
      data: { file, page, beneath: text, above: seen },
      evidence: [{ file, page, box, text }],
      contrasts: [
        {
          what: `page ${page}`,
          one: { label: 'in the text', file, page, box, text },
          other: { label: 'read in the picture', file, page, box, text: seen },
        },
      ],
    }
  })
}

const holdsValue = (text: string, outcomeWords: readonly string[]): boolean =>
  text.split(' ').some((word) => valueKind(word, outcomeWords) !== null)

/** How many values of the text laid with pictures are read there alike, and how many not surely; null where none was looked at. */
function countLayer({ layers }: Sight, outcomeWords: readonly string[]): { alike: number; unsure: number } | null {
  if (layers.some(({ compared }) => compared === undefined)) return null
  const count = (of: 'alike' | 'unsure') =>
    layers.flatMap(({ compared }) => compared?.[of] ?? []).filter(({ text }) => valueKind(text, outcomeWords) !== null)
      .length
  return { alike: count('alike'), unsure: count('unsure') }
}

const restMessages = ['as-seen', 'layer-as-seen', 'layer-in-part', 'layer-not-compared', 'no-text', 'not-read'] as const
type Rest = (typeof restMessages)[number]

function restOf(sight: Sight | null, outcomeWords: readonly string[]): Rest {
  if (sight === null) return 'not-read'
  if (sight.layers.length === 0) return sight.words > 0 ? 'as-seen' : 'no-text'
  const counted = countLayer(sight, outcomeWords)
  if (counted === null || counted.alike === 0) return 'layer-not-compared'
  return counted.unsure === 0 ? 'layer-as-seen' : 'layer-in-part'
}

function tellRest(packet: Packet, documents: readonly DocumentFacts[], outcomeWords: readonly string[]): Outcome[] {
  const groups = Map.groupBy(documents, (document) => restOf(sightIn(packet, document), outcomeWords))
  return restMessages.flatMap((message): Outcome[] => {
    const group = groups.get(message)
    if (group === undefined) return []
    const state = message === 'as-seen' || message === 'layer-as-seen' ? 'met' : 'undecided'
    const counts = group.map((document) => {
      const sight = sightIn(packet, document)
      return sight === null ? null : countLayer(sight, outcomeWords)
    })
    const sum = (of: 'alike' | 'unsure') => counts.reduce((all, one) => all + (one?.[of] ?? 0), 0)
    const isCounted = message === 'layer-as-seen' || message === 'layer-in-part'
    const data = {
      files: group.map(({ file }) => file),
      ...(isCounted ? { count: sum('alike'), unsure: sum('unsure') } : {}),
    }
    return [{ state, message, data, evidence: placeFiles(group) }]
  })
}
