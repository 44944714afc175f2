import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import { filesLine } from '../shared-lines.ts'
import { listFiles, wasRead } from '../unread.ts'
import { countPages, type PageCount } from './page-counts.ts'

export const pagesComplete: Check = {
  id: 'pages-complete',
  group: 'completeness',
  claim: 'Every report whose pages are numbered is there with all its pages.',
  messages: {
    complete: { state: 'met', text: 'By their page numbers {files} holds all pages.' },
    split: { state: 'met', text: 'By their page numbers {files} together hold all {of} pages of a report.' },
    missing: { state: 'unmet', text: 'By its page numbers {files} lacks page {missing} of {total}.' },
    uneven: {
      state: 'unmet',
      text: 'By its page numbers {files} holds page {repeated} of {total} more often than the rest: pages are repeated, or those of another copy are missing.',
    },
    'unnumbered-page': {
      state: 'undecided',
      text: '{files} shows no page {missing} of {total}, and has pages without a number that may be it.',
    },
    unread: {
      state: 'undecided',
      text: '{files} shows no page {missing} of {total}, and could not be read in full.',
    },
    'no-total': {
      state: 'undecided',
      text: 'The pages of {files} are numbered without their total, and none is left out between.',
    },
    'not-numbered': { state: 'undecided', text: 'No file numbers its pages.' },
  },
  parameters: {},
  remedy: 'The whole report, saved again from where it was made.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'the question what stood on the pages that are missing',
  },
  collect: [filesLine],
  run(packet) {
    const counts = countPages(packet)
    if (counts.length === 0) return [{ state: 'undecided', message: 'not-numbered', data: {}, evidence: [] }]
    const groups = Map.groupBy(counts, (count) => {
      const message = messageOf(count)
      return message === 'complete' || message === 'no-total'
        ? message
        : `${message} ${listFiles(count.documents)} ${count.of}`
    })
    return [...groups.values()].map((group) => describe(group))
  },
}

const states = {
  complete: 'met',
  split: 'met',
  missing: 'unmet',
  uneven: 'unmet',
  'unnumbered-page': 'undecided',
  unread: 'undecided',
  'no-total': 'undecided',
} as const

function messageOf({ documents, of, missing, repeated, unnumbered }: PageCount): keyof typeof states {
  if (missing.length > 0) {
    if (!documents.every(wasRead)) return 'unread'
    return unnumbered > 0 ? 'unnumbered-page' : 'missing'
  }
  // Without a total a number may stand twice because two reports follow each other.
  if (of === null) return 'no-total'
  if (repeated.length > 0) return 'uneven'
  return documents.length > 1 ? 'split' : 'complete'
}

function describe(counts: readonly PageCount[]): Outcome {
  const [first] = counts
  const message = first === undefined ? 'complete' : messageOf(first)
  const documents = [...new Set(counts.flatMap((count) => count.documents))]
  const last = first?.seen.at(-1) ?? 0
  return {
    state: states[message],
    message,
    data: {
      files: listFiles(documents),
      of: first?.of ?? null,
      total: first?.of ?? last,
      seen: first?.seen ?? [],
      missing: first?.missing ?? [],
      repeated: first?.repeated ?? [],
    },
    evidence: distinctPlaces(counts.flatMap(({ places }) => places)),
    working: counts.flatMap((count) =>
      count.of === null
        ? []
        : [
            {
              text: '{file} shows page {seen} of {total}.',
              data: { file: listFiles(count.documents), seen: count.seen, total: count.of },
            },
          ],
    ),
  }
}
