/**
 * What a PDF was before, and what it tells of its saving. An update that is added to a file leaves the earlier state in
 * it, and both can be read; a file that was written anew keeps at most a trace.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Sight } from '../../facts/sight.ts'
import type { Check, Outcome, Parameter, WorkingStep } from '../check.ts'
import { listParameter, numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { filesLine } from '../shared-lines.ts'
import { contrastOf, type Edit, type EditKind, listEdits, nameFacts, placeOfEdit, quoteReading } from './file-edits.ts'
import { listTraces, type SaveLimits, type SaveTrace } from './file-saves.ts'

export const pdfNotEdited: Check = {
  id: 'pdf-not-edited',
  group: 'documents',
  claim: 'Every PDF says what it said when it was first saved.',
  messages: {
    unchanged: { state: 'met', text: 'Nothing shows that what {files} says was changed after it was saved.' },
    'added-to': {
      state: 'met',
      text: '{file} was saved {times} times; what came later changes no words that were there: {additions}.',
    },
    'saved-otherwise': {
      state: 'met',
      text: '{file} was saved again after it was made ({how}), as papers of this kind are; nothing shows that its words were changed.',
    },
    changed: {
      state: 'unmet',
      text: '{file} was changed after it was saved: {before} then, {after} now{more}. This review reads from there: {facts}.',
    },
    covered: {
      state: 'unmet',
      text: '{file}: a mark that nothing shows through ({mark}) was laid on words after it was saved: {before} then, {after} now. This review reads from there: {facts}.',
    },
    added: {
      state: 'unmet',
      text: '{file}: {after} was added after it was saved{more}. This review reads from there: {facts}.',
    },
    'other-words': {
      state: 'unmet',
      text: '{file} was changed after it was saved: {before} then, {after} now{more}. Nothing that this review reads stands there.',
    },
    'marked-over': { state: 'unmet', text: '{file}: a mark ({mark}) lies on words of page {page}: “{before}”.' },
    redrawn: { state: 'unmet', text: '{file} was changed after it was saved, in no words: {what}.' },
    'mixed-fonts': {
      state: 'unmet',
      text: '{file}, page {page}: {words} is set in two kinds of letters ({families}), as where part of it was put in later.',
    },
    'another-program': {
      state: 'unmet',
      text: '{file} holds a record of an instrument; it was made by {first} and saved again by {latest}.',
    },
    'saved-later': {
      state: 'unmet',
      text: '{file} holds a record of an instrument; it says that it was made {created} and changed {modified}.',
    },
    'made-by-editor': {
      state: 'unmet',
      text: '{file} holds a record of an instrument; it says that it was made by {latest}, with which people draw and edit.',
    },
    'made-for-editing': {
      state: 'unmet',
      text: '{file} holds a record of an instrument; it is laid out so that its objects can be changed by hand.',
    },
    'not-compared': {
      state: 'undecided',
      text: '{file} holds {count} earlier states that could not be compared with what it says now.',
    },
    'not-followed': { state: 'undecided', text: 'How {files} is built could not be followed.' },
    'no-pdf': { state: 'undecided', text: 'The packet holds no PDF.' },
  },
  parameters: {
    saveSeconds: 'Seconds that may lie between when a file says it was made and when it says it was last saved.',
    recordKinds: 'Kinds of documents that an instrument saves and nobody saves again.',
    drawingPrograms: 'Words in the names of programs with which people draw and edit.',
  },
  remedy: 'The file as the instrument or office first saved it, or its maker’s word on how it came to be changed.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a record that says what the instrument did not',
    shop: 'papers that were changed after they were made',
    insurer: 'paying on words that were changed',
  },
  collect: [filesLine],
  run(packet, parameters) {
    const limits = readLimits(parameters)
    const files = packet.documents.filter(({ media, bytes }) => media === 'application/pdf' && bytes > 0)
    if (files.length === 0) return [{ state: 'undecided', message: 'no-pdf', data: {}, evidence: [] }]
    const judged = files.map((document) => ({
      document,
      outcomes: judge(document, packet.content[document.file]?.sight?.mixed ?? [], limits),
    }))
    const named = (documents: readonly DocumentFacts[]) => ({
      data: { files: documents.map(({ file }) => file) },
      evidence: documents.map(({ file }) => ({ file, text: '' })),
    })
    const unknown = files.filter(({ pdf }) => pdf === undefined)
    const clean = judged.filter(({ document, outcomes }) => document.pdf && outcomes.length === 0)
    return [
      ...(clean.length === 0
        ? []
        : [{ state: 'met', message: 'unchanged', ...named(clean.map(({ document }) => document)) } as const]),
      ...(unknown.length === 0 ? [] : [{ state: 'undecided', message: 'not-followed', ...named(unknown) } as const]),
      ...judged.flatMap(({ outcomes }) => outcomes),
    ]
  },
}

interface Limits extends SaveLimits {
  recordKinds: readonly string[]
}

const readLimits = (parameters: Readonly<Record<string, Parameter>>): Limits => ({
  saveSeconds: numberParameter(parameters, 'saveSeconds'),
  recordKinds: listParameter(parameters, 'recordKinds'),
  drawingPrograms: listParameter(parameters, 'drawingPrograms'),
})

function judge(document: DocumentFacts, mixed: Sight['mixed'], limits: Limits): Outcome[] {
  const { pdf, file } = document
  if (pdf === undefined) return []
  const edits = listEdits(document)
  const of = (kind: EditKind) => edits.filter((edit) => edit.kind === kind)
  const told = [
    ...tellWords(document, 'changed', of('changed')),
    ...of('covered').map((edit) => tellMark(document, 'covered', edit)),
    ...tellWords(document, 'added', of('added')),
    ...tellWords(document, 'other-words', of('other-words')),
    ...tellMarks(document, of('marked')),
    ...tellDrawn(document, of('redrawn')),
    ...tellMixed(document, mixed),
  ]
  const traces = told.length > 0 ? [] : tellTraces(document, listTraces(document, limits), limits)
  const lost = pdf.revisions.filter(({ changes }) => changes === null || changes.some(({ kind }) => kind === 'unclear'))
  const open: Outcome[] =
    lost.length === 0
      ? []
      : [
          {
            state: 'undecided',
            message: 'not-compared',
            data: { file, count: lost.length },
            evidence: [{ file, text: '' }],
          },
        ]
  const found = [...told, ...traces, ...open]
  const additions = [...new Set(of('addition').map(({ change }) => change.text))]
  if (found.length > 0 || additions.length === 0) return found.map((outcome) => ({ ...outcome, ...work(document) }))
  const data = { file, times: pdf.revisions.length, additions }
  return [{ state: 'met', message: 'added-to', data, evidence: [{ file, text: '' }], ...work(document) }]
}

/** Differences of one kind in one file, quoted by the first and shown side by side; the rest are counted. */
function tellWords(document: DocumentFacts, message: 'changed' | 'added' | 'other-words', edits: Edit[]): Outcome[] {
  const [first] = edits
  if (first === undefined) return []
  const { file } = document
  const rest = edits.length - 1
  const { before, after } = first.change
  return [
    {
      state: 'unmet',
      message,
      data: {
        file,
        before: quoteReading(before),
        after: quoteReading(after),
        more: rest === 0 ? '' : `, and ${rest} more ${rest === 1 ? 'place' : 'places'}`,
        facts: nameFacts(edits),
      },
      ...show(file, edits),
    },
  ]
}

/** How many differences of a file are shown. */
const mostShown = 6

/** A value of which parts are set in fonts that do not belong together, page by page. */
function tellMixed({ file }: DocumentFacts, mixed: Sight['mixed']): Outcome[] {
  return [...Map.groupBy(mixed, ({ page }) => page)].map(([page, words]) => ({
    state: 'unmet',
    message: 'mixed-fonts',
    data: {
      file,
      page,
      words: words.slice(0, mostShown).map(({ text }) => text),
      families: [...new Set(words.flatMap(({ families }) => families))],
    },
    evidence: words.slice(0, mostShown).map(({ box, text }) => ({ file, page, box, text })),
  }))
}

function show(file: string, edits: readonly Edit[]): Pick<Outcome, 'evidence' | 'contrasts'> {
  const shown = edits.slice(0, mostShown)
  return {
    evidence: distinctPlaces(shown.map((edit) => placeOfEdit(file, edit))),
    contrasts: shown.map((edit) => contrastOf(file, edit)),
  }
}

function tellMark({ file }: DocumentFacts, message: 'covered' | 'marked-over', edit: Edit): Outcome {
  const { before, after, text } = edit.change
  const mark = /\((.*)\)/.exec(text)?.[1] ?? text
  const data = { file, mark, page: after?.page ?? 1, facts: nameFacts([edit]) }
  const words = message === 'covered' ? quoteReading(before) : (before?.text ?? '')
  return {
    state: 'unmet',
    message,
    data: { ...data, before: words, after: quoteReading(after) },
    ...show(file, [edit]),
  }
}

/** Marks that a later revision added, and those that were in the file when it was last written. */
function tellMarks(document: DocumentFacts, added: readonly Edit[]): Outcome[] {
  const { file, pdf } = document
  const later = new Set(added.map(({ change }) => boxKey(change.after)))
  const others = (pdf?.marks ?? []).filter(({ place }) => !later.has(boxKey(place)) && !isCovered(document, place))
  return [
    ...added.map((edit) => tellMark(document, 'marked-over', edit)),
    ...others.map(({ subtype, place, over }): Outcome => {
      const data = { file, mark: subtype, page: place.page, before: over }
      return { state: 'unmet', message: 'marked-over', data, evidence: [{ file, ...place }] }
    }),
  ]
}

const boxKey = (place: { page: number; box: readonly number[] } | null): string =>
  place === null ? '' : `${place.page} ${place.box.map((edge) => Math.round(edge)).join(' ')}`

/** Is that mark told of already, as one that covers words? */
const isCovered = (document: DocumentFacts, place: { page: number; box: readonly number[] }): boolean =>
  listEdits(document).some(({ kind, change }) => kind === 'covered' && boxKey(change.after) === boxKey(place))

function tellDrawn({ file }: DocumentFacts, edits: readonly Edit[]): Outcome[] {
  if (edits.length === 0) return []
  const what = [...new Set(edits.map(({ change }) => change.text))]
  return [{ state: 'unmet', message: 'redrawn', data: { file, what }, ...show(file, edits) }]
}

const messages: Readonly<Record<SaveTrace['kind'], string>> = {
  'other-program': 'another-program',
  later: 'saved-later',
  editor: 'made-by-editor',
  'by-hand': 'made-for-editing',
}

function tellTraces(document: DocumentFacts, traces: readonly SaveTrace[], limits: Limits): Outcome[] {
  const { file, kind, signatures = [] } = document
  const [first] = traces
  if (first === undefined) return []
  const evidence = [{ file, text: '' }]
  // Whoever signed the whole of it vouches for it as it is, and signing is saving.
  const isSigned = signatures.some(({ state, covers }) => state === 'holds' && covers === 'whole')
  if (isSigned || !limits.recordKinds.includes(kind)) {
    if (first.kind === 'by-hand' || first.kind === 'editor') return []
    return [{ state: 'met', message: 'saved-otherwise', data: { file, how: describeTrace(first) }, evidence }]
  }
  const { first: made, latest, created, modified } = first
  const data = { file, first: made, latest, created, modified }
  return [{ state: 'unmet', message: messages[first.kind], data, evidence }]
}

const describeTrace = ({ kind, first, latest, created, modified }: SaveTrace): string =>
  kind === 'later' ? `made ${created}, changed ${modified}` : `made by ${first}, saved again by ${latest}`

function work({ pdf }: DocumentFacts): Pick<Outcome, 'working'> {
  const steps = (pdf?.revisions ?? []).map(({ number, end, writer, changes }): WorkingStep => {
    const { producer = 'nothing', modified = 'no time' } = writer ?? {}
    const found = changes === null ? 'not compared' : String(changes.length)
    return {
      text: 'State {number} ends at byte {end}; its maker by its own account: {producer}; last saved: {modified}; differences from the file as it is: {found}.',
      data: { number, end, producer, modified, found },
    }
  })
  return steps.length === 0 ? {} : { working: steps }
}
