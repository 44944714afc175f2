import { describe, expect, it, test } from 'vitest'
import { textMatchesPicture as check } from '../../../src/checks/documents/text-matches-picture.ts'
import { plainValue, valueKind } from '../../../src/checks/documents/value-kinds.ts'
import type { UnseenWord } from '../../../src/facts/reading.ts'
import type { Sight } from '../../../src/facts/sight.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('text-matches-picture')
const file = 'record.pdf'

type Unseen = Sight['unseen'][number]

const hidden = (text: string, rest: Partial<Unseen> = {}): Unseen => ({
  text,
  box: [10, 10, 60, 20],
  size: 10,
  why: 'covered',
  page: 1,
  ...rest,
})
const covered = (beneath: string, above: string, rest: Partial<Unseen> = {}) =>
  hidden(beneath, { replaced: { beneath, above }, ...rest })

function packetWith(sight: Partial<Sight> | null, media = 'application/pdf') {
  const content = { lines: [], pageNumbers: [], track: null, information: null }
  const full = sight === null ? null : { words: 40, unseen: [], layers: [], mixed: [], ...sight }
  return makePacket([makeDocument('calibration', file, { media })], {
    content: { [file]: { ...content, sight: full } },
  })
}

const messages = (sight: Partial<Sight> | null, media?: string) =>
  messagesOf(check, packetWith(sight, media), parameters)

describe('text-matches-picture', () => {
  it.each<[string, Unseen[], string[]]>([
    ['all is seen', [], ['as-seen']],
    ['a label that nobody sees', [hidden('Technician')], ['as-seen']],
    ['a small number that nobody sees', [hidden('1', { why: 'tiny' }), hidden('Object')], ['as-seen']],
    ['a VIN that nobody sees', [hidden('1ZZTE5T11NB000421', { why: 'same-colour' })], ['unseen']],
    ['a code that nobody sees', [hidden('C1A67-54', { why: 'invisible' })], ['unseen']],
    ['a date that nobody sees', [hidden('2026-10-20', { why: 'off-page' })], ['unseen']],
    ['an outcome that nobody sees', [hidden('FAILED', { why: 'transparent' })], ['unseen']],
    ['a placeholder that nobody sees', [hidden('00/00/0000'), hidden('XX:XX')], ['as-seen']],
    ['two values on two pages', [hidden('C1A67'), hidden('U0155', { page: 2 })], ['unseen', 'unseen']],
    ['two values hidden in one way', [hidden('C1A67'), hidden('U0155')], ['unseen']],
    ['a VIN over another', [covered('1ZZTE5T11NB000421', '1ZZTE5T11NB000422')], ['painted-over']],
    ['a date over another', [covered('2026-10-20', '2026-10-21')], ['painted-over']],
    ['a percentage over another', [covered('62%', '100%')], ['painted-over']],
    ['an outcome over another', [covered('FAILED', 'PASSED')], ['painted-over']],
    ['a day over another', [covered('14', '17')], ['painted-over']],
    ['both halves of one value', [covered('C1A67', 'C1A68'), covered('C1A67', 'C1A68')], ['painted-over']],
    ['the same value again, in look-alikes', [covered('1ZZTE5T11NB000421', '1ZZTE5TI1NBOOO42I')], ['unseen']],
    ['letters drawn as others', [covered('C1A61', 'C1A67', { why: 'other-letters' })], ['other-letters']],
    ['another word over a name', [covered('Renner', 'Tolland')], ['other-word-seen']],
    ['a value over a label', [covered('Status', '100%')], ['other-word-seen']],
    ['more of the same word', [covered('Cali', 'Calibration')], ['as-seen']],
  ])('%s', (_, unseen, expected) => {
    expect(messages({ unseen })).toEqual(expected)
  })

  it.each<[string, Partial<Sight> | null, string | undefined, string]>([
    ['the text of a scan', { layers: [{ page: 1, words: 40 }] }, undefined, 'layer-not-compared'],
    ['a page without text', { words: 0 }, undefined, 'no-text'],
    ['a file that could not be read', null, undefined, 'not-read'],
    ['no PDF', null, 'text/plain', 'no-pdf'],
  ])('%s', (_, sight, media, message) => {
    expect(messages(sight, media)).toEqual([message])
  })

  const word = (text: string) => ({ box: [10, 10, 60, 20] as [number, number, number, number], text })
  const layer = (alike: string[], unsure: string[] = [], differing: [string, string][] = []): Partial<Sight> => ({
    layers: [
      {
        page: 1,
        words: 40,
        compared: {
          alike: alike.map(word),
          unsure: unsure.map(word),
          differing: differing.map(([text, seen]) => ({ ...word(text), seen })),
        },
      },
    ],
  })

  it.each<[string, Partial<Sight>, string[]]>([
    ['all of whose values are read in the picture', layer(['C1A67-54', 'Status'], ['Technician']), ['layer-as-seen']],
    ['one of whose values is not read there', layer(['C1A67-54'], ['62%']), ['layer-in-part']],
    ['none of whose values is read there', layer(['Status'], ['62%']), ['layer-not-compared']],
    ['that says another value', layer(['C1A67-54'], [], [['62%', '82%']]), ['layer-differs']],
    ['that says another outcome', layer(['C1A67-54'], [], [['PASSED', 'FAILED']]), ['layer-differs']],
    ['that says another label', layer(['C1A67-54'], [], [['Status', 'States']]), ['layer-as-seen']],
    [
      'that says one other value twice',
      layer(
        [],
        [],
        [
          ['62%', '82%'],
          ['62%', '82%'],
        ],
      ),
      ['layer-differs'],
    ],
    [
      'only a part of which was compared',
      { layers: [...(layer(['62%']).layers ?? []), { page: 2, words: 9 }] },
      ['layer-not-compared'],
    ],
  ])('the text of a scan %s', (_, sight, expected) => {
    expect(messages(sight)).toEqual(expected)
  })

  it('says what the text of a scan says, and what is read in its picture', () => {
    const [outcome] = runCheck(check, packetWith(layer([], [], [['62%', '82%']])), parameters)
    expect(outcome).toMatchObject({
      state: 'unmet',
      data: { file, page: 1, beneath: '62%', above: '82%' },
      evidence: [{ file, page: 1, text: '62%' }],
    })
  })

  it('points at the place, and says what was there before', () => {
    const why: UnseenWord['why'] = 'covered'
    const [outcome] = runCheck(check, packetWith({ unseen: [covered('62%', '100%', { why, page: 2 })] }), parameters)
    expect(outcome?.data).toMatchObject({ file, page: 2, beneath: '62%', above: '100%' })
    expect(outcome?.evidence).toEqual([{ file, page: 2, box: [10, 10, 60, 20], text: '100%' }])
    expect(outcome?.contrasts).toMatchObject([{ one: { text: '62%' }, other: { text: '100%' } }])
  })

  it('says of the other files that they are as seen', () => {
    const one = packetWith({ unseen: [hidden('C1A67')] })
    const two = makeDocument('invoice', 'bill.pdf')
    const seen = {
      lines: [],
      pageNumbers: [],
      track: null,
      information: null,
      sight: { words: 3, unseen: [], layers: [], mixed: [] },
    }
    const packet = makePacket([...one.documents, two], { content: { ...one.content, 'bill.pdf': seen } })
    const outcomes = runCheck(check, packet, parameters)
    expect(outcomes.map(({ message, data }) => [message, data.file ?? data.files])).toEqual([
      ['unseen', file],
      ['as-seen', ['bill.pdf']],
    ])
  })
})

test.each([
  ['1ZZTE5T11NB000421', 'vin'],
  ['C1A67-54', 'code'],
  ['P0301', 'code'],
  ['2026-10-20', 'date'],
  ['10/20/2026', 'date'],
  ['20.10.2026,', 'date'],
  ['14:05', 'time'],
  ['14:05:33', 'time'],
  ['100%', 'percentage'],
  ['0.12°', 'measure'],
  ['13.4V', 'measure'],
  ['48,211', 'measure'],
  ['48211', 'number'],
  ['RO-4471', 'mark'],
  ['PASSED', 'outcome'],
  ['bestanden', 'outcome'],
  ['Technician', null],
  ['12', null],
  ['a', null],
  ['', null],
  ['MM/DD/YYYY', null],
  ['0000', null],
])('%s is of the kind %s', (text, kind) => {
  expect(valueKind(text, ['passed', 'bestanden'])).toBe(kind)
})

test.each([
  ['C1A67-54', 'C1A6754'],
  ['o1|l5S', '011155'],
])('%s reads as %s', (text, plain) => {
  expect(plainValue(text)).toBe(plainValue(plain))
})
