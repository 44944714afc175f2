import { describe, expect, test } from 'vitest'
import { pdfNotEdited as check } from '../../../src/checks/documents/pdf-not-edited.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { PdfFacts, PdfRevision, PdfWriter, RevisionChange } from '../../../src/facts/pdf-history.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('pdf-not-edited')
const made: PdfWriter = { creator: 'Corvane M4 3.8', producer: 'Corvane print', created: '2026-09-01T12:00:00Z' }

const revision = (number: number, rest: Partial<PdfRevision> = {}): PdfRevision => ({
  number,
  end: number * 1000,
  writer: made,
  id: null,
  changes: [],
  ...rest,
})

const edit = (rest: Partial<RevisionChange> = {}): RevisionChange => ({
  kind: 'words',
  text: 'words of page 1 are others',
  before: makePlace('Result failed'),
  after: makePlace('Result passed'),
  facts: ['calibrations.0.outcome'],
  replaces: true,
  ...rest,
})

const record = (pdf: Partial<PdfFacts>, rest: Partial<DocumentFacts> = {}) =>
  makeDocument('calibration', 'radar.pdf', {
    pdf: { revisions: [revision(1)], marks: [], active: [], ...pdf },
    ...rest,
  })
const withChanges = (...changes: RevisionChange[]) => record({ revisions: [revision(1, { changes }), revision(2)] })
const judge = (...documents: DocumentFacts[]) => messagesOf(check, makePacket(documents), parameters)

test('a value in two kinds of letters is told, and beside it what is known of earlier states', () => {
  const word = { ...makePlace('1M8GDM9AXKP042788'), families: ['arial', 'times'] }
  const sight = { words: 40, unseen: [], layers: [], mixed: [word] }
  const content = { 'radar.pdf': { lines: [], pageNumbers: [], track: null, information: null, sight } }
  const packet = makePacket([record({})], { content })
  expect(messagesOf(check, packet, parameters)).toEqual(['mixed-fonts'])
  const [outcome] = runCheck(check, packet, parameters)
  expect(outcome).toMatchObject({
    data: { page: word.page, words: [word.text], families: word.families },
    evidence: [{ file: 'radar.pdf', page: word.page, box: word.box, text: word.text }],
  })
})

describe('earlier states', () => {
  test('none, or one that says the same', () => {
    expect(judge(record({}))).toEqual(['unchanged'])
    expect(judge(withChanges())).toEqual(['unchanged'])
  })

  test('other words where a fact was read, both readings shown', () => {
    const [outcome] = runCheck(check, makePacket([withChanges(edit(), edit({ text: 'other' }))]), parameters)
    expect(outcome).toMatchObject({
      message: 'changed',
      data: {
        before: '“Result failed”',
        after: '“Result passed”',
        more: ', and 1 more place',
        facts: ['calibrations'],
      },
    })
    expect(outcome?.contrasts?.[0]).toMatchObject({
      what: 'radar.pdf, page 1',
      one: { label: 'as first saved', text: 'Result failed', end: 1000 },
      other: { label: 'as it is', text: 'Result passed' },
    })
    expect(outcome?.contrasts?.[0]?.other.end).toBeUndefined()
  })

  test('the same difference from two earlier states is told once', () => {
    const revisions = [revision(1, { changes: [edit()] }), revision(2, { changes: [edit()] }), revision(3)]
    const [outcome] = runCheck(check, makePacket([record({ revisions })]), parameters)
    expect(outcome).toMatchObject({ message: 'changed', data: { more: '' } })
  })

  test.each<[string, Partial<RevisionChange>, string]>([
    ['other words from which nothing was read', { facts: [] }, 'other-words'],
    ['words that came, and that a fact rests on', { replaces: undefined as never, before: null }, 'added'],
    ['a field that was filled in', { kind: 'field', wasEmpty: true, before: null }, 'added-to'],
    ['a field that was changed', { kind: 'field' }, 'changed'],
    ['a filled shape on words of a fact', { kind: 'mark', isOpaque: true }, 'covered'],
    ['a stamp on words', { kind: 'mark' }, 'marked-over'],
    ['a stamp beside the words', { kind: 'mark', before: null }, 'added-to'],
    ['a page taken out', { kind: 'pages', after: null }, 'changed'],
    ['a page added that says nothing', { kind: 'pages', before: null, facts: [] }, 'added-to'],
    ['another picture', { kind: 'drawing', facts: [] }, 'redrawn'],
    ['a signature', { kind: 'signature', before: null, after: null, facts: [] }, 'added-to'],
  ])('%s', (_, change, message) => {
    expect(judge(withChanges(edit(change)))).toEqual([message])
  })

  test('one that was not compared leaves it open', () => {
    expect(judge(record({ revisions: [revision(1, { changes: null }), revision(2)] }))).toEqual(['not-compared'])
  })
})

test('a mark that is in the file from the first is told of, and pointed at', () => {
  const marks = [{ subtype: 'Stamp', place: makePlace('SEEN'), over: 'Result failed', isOpaque: false, facts: [] }]
  expect(runCheck(check, makePacket([record({ marks })]), parameters)).toMatchObject([
    { message: 'marked-over', data: { mark: 'Stamp', before: 'Result failed' }, evidence: [{ page: 1 }] },
  ])
})

describe('traces of saving', () => {
  const saved = (last: PdfWriter, rest: Partial<DocumentFacts> = {}) =>
    judge(record({ revisions: [revision(1), revision(2, { writer: last })] }, rest))

  test('by another program', () => {
    expect(saved({ ...made, producer: 'Blotter 3' })).toEqual(['another-program'])
    expect(saved({ ...made, producer: 'Corvane print 3.9.1' })).toEqual(['unchanged'])
  })

  test('of an invoice: offices save again', () => {
    expect(saved({ ...made, producer: 'Blotter 3' }, { kind: 'invoice' })).toEqual(['saved-otherwise'])
  })

  test('by whoever signed the whole of it', () => {
    const signature = { state: 'holds', covers: 'whole' } as NonNullable<DocumentFacts['signatures']>[number]
    expect(saved({ ...made, producer: 'Blotter 3' }, { signatures: [signature] })).toEqual(['saved-otherwise'])
  })

  test.each([
    ['2026-09-01T12:00:00Z', '2026-09-01T12:15:00Z', 'unchanged'],
    ['2026-09-01T12:00:00Z', '2026-09-01T12:15:01Z', 'saved-later'],
    ['2026-09-01T12:00:00', '2026-09-02T12:00:00', 'saved-later'],
    // One of the two without a zone: up to 26 hours may be its zone.
    ['2026-09-01T12:00:00', '2026-09-02T13:00:00Z', 'unchanged'],
    ['2026-09-01T12:00:00', '2026-09-04T13:00:00Z', 'saved-later'],
    ['2026-09-01T12:00:00Z', '2026-08-01T12:00:00Z', 'unchanged'],
    ['2026-09-01T12:00:00Z', 'yesterday', 'unchanged'],
  ])('made %s, saved %s: %s', (created, modified, message) => {
    const revisions = [revision(1, { writer: { ...made, created, modified } })]
    expect(judge(record({ revisions }))).toEqual([message])
  })

  test('in the list of saves that the file keeps (XMP)', () => {
    const saves = [{ program: 'Corvane print 3' }, { action: 'saved', program: 'Blotter 3' }]
    expect(judge(record({ revisions: [revision(1, { writer: { ...made, saves } })] }))).toEqual(['another-program'])
  })

  test('of a program to draw with; a word within another is none', () => {
    const by = (creator: string) => judge(record({ revisions: [revision(1, { writer: { creator } })] }))
    expect(by('Draw')).toEqual(['made-by-editor'])
    expect(by('Drawbar Scan 4')).toEqual(['unchanged'])
  })

  test('of a file that is laid out for changes by hand', () => {
    expect(judge(record({ madeForEditing: true }))).toEqual(['made-for-editing'])
  })
})

test('files that are no PDF, or could not be followed', () => {
  expect(judge(makeDocument('calibration', 'a.csv', { media: 'text/csv' }))).toEqual(['no-pdf'])
  expect(judge(makeDocument('calibration', 'a.pdf'))).toEqual(['not-followed'])
})
