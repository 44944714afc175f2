/**
 * The licence plate wherever it stands. Spaces, hyphens and the name of the issuing place beside it do not count. Many
 * issuers print 0 and O alike, so a difference in these alone is for a person to look at (common practice, no source).
 */
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import {
  chooseReference,
  collectNumbers,
  compareNumbers,
  findMentions,
  groupByValue,
  type Numbering,
  type NumberStatement,
} from './written-numbers.ts'

export const plateAgrees: Check = {
  id: 'plate-agrees',
  group: 'identity',
  claim: 'Every file that names a licence plate names the same one.',
  messages: {
    agree: { state: 'met', text: '{files} show the same licence plate, {plate}.' },
    'same-glyph': {
      state: 'unmet',
      text: '{odd} shows the licence plate {value} where {others} show {plate}: {found} stands for {expected}, which many plates print alike.',
    },
    'look-alike': {
      state: 'unmet',
      text: '{odd} shows the licence plate {value} where {others} show {plate}: {found} stands for {expected}, two characters that are easily confused.',
    },
    slip: {
      state: 'unmet',
      text: '{odd} shows the licence plate {value} where {others} show {plate}: they differ in one character or in the order of two.',
    },
    differs: { state: 'unmet', text: '{odd} shows the licence plate {value} where {others} show {plate}.' },
    'other-shape': {
      state: 'undecided',
      text: '{odd} shows {value} as a licence plate where {others} show {plate}; it is built so differently that it may be another number.',
    },
    'one-reading': {
      state: 'undecided',
      text: 'Only {files} shows a licence plate, so there is nothing to compare it with.',
    },
    'no-plate': { state: 'undecided', text: 'No file of the packet shows a licence plate.' },
  },
  parameters: {},
  remedy: 'Read the plate at the vehicle or on its registration, and have the odd document put right.',
  suppliers: ['shop', 'owner'],
  settledWith: 'vehicle',
  exposes: { insurer: 'paying for another vehicle' },
  collect: [{ step: 'intake', per: 'job', text: 'The licence plate, photographed together with the vehicle' }],
  run(packet) {
    const statements = collectNumbers(packet, 'plate', plates)
    const reference = chooseReference(statements, plates)
    if (reference === null) return [{ state: 'undecided', message: 'no-plate', data: {}, evidence: [] }]
    const odd = statements.filter((statement) => isOdd(packet, statement, reference))
    const agreeing = statements.filter((statement) => !odd.includes(statement))
    if (odd.length > 0) return groupByValue(odd, plates).map((group) => describe(group, reference, agreeing))
    const evidence = distinctPlaces(statements.flatMap((statement) => statement.evidence))
    const data = { files: statements.map((statement) => statement.file), plate: reference.written }
    return statements.length === 1
      ? [{ state: 'undecided', message: 'one-reading', data, evidence }]
      : [{ state: 'met', message: 'agree', data, evidence }]
  },
}

/** How licence plates are written. */
export const plates: Numbering = {
  bare: (text) => text.toUpperCase().replace(/[^\p{L}\p{N}]/gu, ''),
  same(a, b) {
    return ownForms(a).includes(plates.bare(b)) || ownForms(b).includes(plates.bare(a))
  },
}

/** The plate as written, and without a word of letters before or behind it, which may be the issuing state or country. */
function ownForms(text: string): string[] {
  const words = text.toUpperCase().match(/[\p{L}\p{N}]+/gu) ?? []
  const isPlace = (word = '') => words.length > 1 && /^\p{L}{2,}$/u.test(word)
  const forms = [words.join('')]
  if (isPlace(words[0])) forms.push(words.slice(1).join(''))
  if (isPlace(words.at(-1))) forms.push(words.slice(0, -1).join(''))
  return forms.filter((form, index) => index === 0 || form.length >= 3)
}

function isOdd(packet: Packet, { file, written }: NumberStatement, reference: NumberStatement): boolean {
  if (plates.same(written, reference.written)) return false
  return findMentions(packet, file, reference.written, plates).length === 0
}

function describe(
  group: readonly NumberStatement[],
  reference: NumberStatement,
  agreeing: readonly NumberStatement[],
): Outcome {
  const value = group[0]?.written ?? ''
  const { kind, found, expected } = compareNumbers(plates.bare(reference.written), plates.bare(value))
  const isOther = kind === 'different' && !looksAlike(plates.bare(reference.written), plates.bare(value))
  const message = isOther ? 'other-shape' : kind === 'different' ? 'differs' : kind
  const data = {
    odd: group.map((statement) => statement.file),
    value,
    plate: reference.written,
    others: agreeing.map((statement) => statement.file),
    found,
    expected,
  }
  const evidence = distinctPlaces([...group, ...agreeing].flatMap((statement) => statement.evidence))
  return { state: isOther ? 'undecided' : 'unmet', message, data, evidence }
}

/** Plates have about one length, and letters or none: the registration number of a firm is no plate. */
function looksAlike(a: string, b: string): boolean {
  return Math.abs(a.length - b.length) <= 1 && /\p{L}/u.test(a) === /\p{L}/u.test(b)
}
