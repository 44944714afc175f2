import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { pagesComplete as check } from '../../../src/checks/completeness/pages-complete.ts'
import type { DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import type { FileContent } from '../../../src/packet/packet.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

/** A file whose pages carry these words; null for a page without a number. */
type Pages = readonly (string | null)[]

function contentOf(pages: Pages): FileContent {
  const pageNumbers = pages.flatMap((text, at) => {
    const [number, of] = text?.match(/\d+/g)?.map(Number) ?? []
    if (text === null || number === undefined) return []
    return [{ page: at + 1, number, of: of ?? null, place: makePlace(text, at + 1) }]
  })
  return { lines: [], pageNumbers, track: null, information: null }
}

function packetOf(files: Record<string, Pages>, rest: Partial<DocumentFacts> = {}, kind: DocumentKind = 'calibration') {
  const documents = Object.entries(files).map(([file, pages]) =>
    makeDocument(kind, file, { pages: pages.length, ...rest }),
  )
  const content = Object.fromEntries(Object.entries(files).map(([file, pages]) => [file, contentOf(pages)]))
  return makePacket(documents, { content })
}

const messages = (files: Record<string, Pages>, rest: Partial<DocumentFacts> = {}, kind?: DocumentKind) =>
  messagesOf(check, packetOf(files, rest, kind))

describe('one file', () => {
  test.each<[string, Pages, string]>([
    ['all pages', ['Page 1 of 3', 'Page 2 of 3', 'Page 3 of 3'], 'complete'],
    ['laid in backwards', ['Page 2 of 2', 'Page 1 of 2'], 'complete'],
    ['two reports put together', ['Page 1 of 2', 'Page 2 of 2', 'Page 1 of 2', 'Page 2 of 2'], 'complete'],
    ['pages whose lines differ', ['Page 1 of 2 - continued', 'Page 2 of 2, end'], 'complete'],
    ['two ways of printing', ['Page 1 of 2', '2/2'], 'complete'],
    ['a page left out', ['Page 1 of 3', 'Page 3 of 3'], 'missing'],
    ['the end left out', ['Page 1 of 2'], 'missing'],
    ['a page twice', ['Page 1 of 2', 'Page 2 of 2', 'Page 2 of 2'], 'uneven'],
    ['a page without a number', ['Page 1 of 3', null, 'Page 3 of 3'], 'unnumbered-page'],
    ['no totals', ['Page 1', 'Page 2'], 'no-total'],
    ['no totals, from the second on', ['Page 2', 'Page 3'], 'no-total'],
    ['no totals, a page left out', ['Page 1', 'Page 3'], 'missing'],
    ['a number beyond the total', ['Page 5 of 2'], 'not-numbered'],
    ['no numbers', [null], 'not-numbered'],
    ['a sentence', ['The codes of this list go on with page 2 of 3 of the report'], 'not-numbered'],
  ])('%s', (_what, pages, message) => {
    expect(messages({ 'a.pdf': pages })).toEqual([message])
  })

  test('what is missing is said, with what was seen', () => {
    const [outcome] = runCheck(check, packetOf({ 'a.pdf': ['Sheet 1/4', 'Sheet 4/4'] }))
    expect(outcome).toMatchObject({ data: { missing: [2, 3], total: 4 }, working: [{ data: { seen: [1, 4] } }] })
  })

  test('a file that was not read in full may hold it', () => {
    const problems = [{ code: 'page-unread', message: 'A page could not be read.' }]
    expect(messages({ 'a.pdf': ['Page 1 of 2'] }, { problems })).toEqual(['unread'])
  })

  test('a mention of a page beside numbers with totals does not count', () => {
    const pages = ['Page 1 of 2', 'Page 2 of 2', 'see page 9']
    expect(messages({ 'a.pdf': pages }, { pages: 2 })).toEqual(['complete'])
  })
})

describe('several files', () => {
  test('one report saved in two', () => {
    expect(messages({ 'a.pdf': ['Page 1 of 2'], 'b.pdf': ['Page 2 of 2'] })).toEqual(['split'])
  })

  test('two forms are two reports', () => {
    expect(messages({ 'a.pdf': ['Page 1 of 2'], 'b.pdf': ['Sheet 2/2'] })).toEqual(['missing', 'missing'])
  })

  test('a whole report lends no pages to another', () => {
    expect(messages({ 'a.pdf': ['Page 1 of 2', 'Page 2 of 2'], 'b.pdf': ['Page 1 of 2'] })).toEqual([
      'complete',
      'missing',
    ])
  })

  test('pages of two kinds of record are not of one report', () => {
    const before = makeDocument('pre-scan', 'a.pdf')
    const after = makeDocument('post-scan', 'b.pdf')
    const content = { 'a.pdf': contentOf(['Page 1 of 2']), 'b.pdf': contentOf(['Page 2 of 2']) }
    expect(messagesOf(check, makePacket([before, after], { content }))).toEqual(['missing', 'missing'])
  })

  test('photographs have no pages', () => {
    expect(messages({ 'a.jpg': ['Page 1 of 2'] }, {}, 'photo')).toEqual(['not-numbered'])
  })
})

test('a report is whole in whatever order and number of files, and is not without any one of its pages', () => {
  const cut = fc.integer({ min: 2, max: 12 }).chain((of) => {
    const numbers = Array.from({ length: of }, (_, at) => at + 1)
    return fc.record({
      of: fc.constant(of),
      order: fc.shuffledSubarray(numbers, { minLength: of }),
      at: fc.integer({ min: 0, max: of }),
      lost: fc.integer({ min: 1, max: of }),
    })
  })
  fc.assert(
    fc.property(cut, ({ of, order, at, lost }) => {
      const files = (numbers: readonly number[]) => {
        const parts = [numbers.slice(0, at), numbers.slice(at)].filter(({ length }) => length > 0)
        return Object.fromEntries(parts.map((part, i) => [`${i}.pdf`, part.map((number) => `Page ${number} of ${of}`)]))
      }
      const whole = files(order)
      expect(messages(whole)).toEqual([Object.keys(whole).length === 1 ? 'complete' : 'split'])
      const [outcome] = runCheck(check, packetOf(files(order.filter((number) => number !== lost))))
      expect(outcome).toMatchObject({ message: 'missing', data: { missing: [lost] } })
    }),
  )
})
