/**
 * The shop's job number and the insurer's claim number, each by itself. Another firm's record may carry that firm's own
 * number, so a wholly different one counts against a file only where the file is the shop's: an estimate, an invoice that
 * no supplier wrote, or a record of an instrument whose other records carry the shop's number.
 */
import type { Packet } from '../../packet/packet.ts'
import { findSupplierInvoices } from '../billing/supplier-invoices.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import { wasRead } from '../unread.ts'
import { jobNumbers } from './job-numbers.ts'
import { normaliseSerial } from './serial-statements.ts'
import {
  chooseReference,
  collectNumbers,
  compareNumbers,
  findMentions,
  groupByValue,
  type NumberStatement,
  schemeOf,
} from './written-numbers.ts'

const kinds = [
  ['jobNumber', 'job number'],
  ['claimNumber', 'claim number'],
] as const
type Kind = (typeof kinds)[number]

const sentence = '{odd} shows the {number} {value} where {others} show {expectedNumber}'

export const jobNumberAgrees: Check = {
  id: 'job-number-agrees',
  group: 'identity',
  claim: 'Every file that names a job or a claim names the same one.',
  messages: {
    agree: { state: 'met', text: '{files} show the same {number}, {value}.' },
    'look-alike': {
      state: 'unmet',
      text: `${sentence}: {found} stands for {expected}, two characters that are easily confused.`,
    },
    slip: { state: 'unmet', text: `${sentence}: they differ in one character or in the order of two.` },
    differs: { state: 'unmet', text: `${sentence}.` },
    'own-number': { state: 'unmet', text: `${sentence}; it may be the own number of whoever made that record.` },
    'not-stated': {
      state: 'unmet',
      text: 'The {number} {expectedNumber} of {others} stands nowhere in the invoice {odd}.',
    },
    'supplier-number': {
      state: 'undecided',
      text: `${sentence}; it is another firm's invoice and may carry that firm's own number.`,
    },
    'other-numbering': {
      state: 'undecided',
      text: `${sentence}; the two are built differently and may be numbers of two kinds.`,
    },
    'one-reading': {
      state: 'undecided',
      text: 'Only {files} shows a {number}, so there is nothing to compare it with.',
    },
    'no-number': { state: 'undecided', text: 'No file of the packet shows a job or claim number.' },
  },
  parameters: {},
  remedy:
    'Find out from the original to which job the odd document belongs, and have its number put right or take it out.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'a packet that mixes two jobs',
    insurer: 'paying for work of another job',
  },
  collect: [{ step: 'papers', per: 'job', text: 'The job number on every record, estimate and invoice' }],
  run(packet) {
    const outcomes = kinds.flatMap((kind) => judge(packet, kind))
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-number', data: {}, evidence: [] }]
  },
}

function judge(packet: Packet, kind: Kind): Outcome[] {
  const statements = collect(packet, kind)
  const reference = chooseReference(statements, jobNumbers)
  if (reference === null) return []
  const odd = statements.filter(({ file, written }) => {
    if (jobNumbers.same(written, reference.written)) return false
    return findMentions(packet, file, reference.written, jobNumbers).length === 0
  })
  const agreeing = statements.filter((statement) => !odd.includes(statement))
  const outcomes = groupByValue(odd, jobNumbers).flatMap((group) => tell(packet, kind, group, reference, agreeing))
  const lacking = kind[0] === 'jobNumber' ? tellLack(packet, kind, reference, agreeing) : []
  if (outcomes.length + lacking.length > 0) return [...outcomes, ...lacking]
  const evidence = distinctPlaces(statements.flatMap((statement) => statement.evidence))
  const data = { files: statements.map(({ file }) => file), number: kind[1], value: reference.written }
  return statements.length === 1
    ? [{ state: 'undecided', message: 'one-reading', data, evidence }]
    : [{ state: 'met', message: 'agree', data, evidence }]
}

/** A claim number that was read under the label of a job, or the other way round, is no other job. */
function collect(packet: Packet, [kind]: Kind): NumberStatement[] {
  const other = kind === 'jobNumber' ? 'claimNumber' : 'jobNumber'
  const bare = ({ written }: NumberStatement) => jobNumbers.bare(written)
  const statements = collectNumbers(packet, kind, jobNumbers)
  const others = collectNumbers(packet, other, jobNumbers).map(bare)
  const count = (one: NumberStatement) => statements.filter((statement) => bare(statement) === bare(one)).length
  const most = Math.max(...statements.map(count))
  return statements.filter((statement) => !others.includes(bare(statement)) || count(statement) === most)
}

/** One outcome a value and a cause: a group may hold papers of the shop and of other firms. */
function tell(
  packet: Packet,
  kind: Kind,
  group: readonly NumberStatement[],
  reference: NumberStatement,
  agreeing: readonly NumberStatement[],
): Outcome[] {
  const value = group[0]?.written ?? ''
  const difference = compareNumbers(jobNumbers.bare(reference.written), jobNumbers.bare(value))
  const slip = { 'same-glyph': 'look-alike', 'look-alike': 'look-alike', slip: 'slip', different: null }[
    difference.kind
  ]
  const isAlike = schemeOf(jobNumbers.bare(value)) === schemeOf(jobNumbers.bare(reference.written))
  const byMessage = Map.groupBy(
    group,
    (statement) => slip ?? (isAlike ? causeOf(packet, kind, statement, agreeing) : 'other-numbering'),
  )
  return [...byMessage].map(([message, odd]) => {
    const data = {
      odd: odd.map(({ file }) => file),
      value,
      number: kind[1],
      expectedNumber: reference.written,
      others: agreeing.map(({ file }) => file),
      found: difference.found,
      expected: difference.expected,
    }
    const evidence = distinctPlaces([...odd, ...agreeing].flatMap((statement) => statement.evidence))
    const isOpen = message === 'supplier-number' || message === 'other-numbering'
    return { state: isOpen ? 'undecided' : 'unmet', message, data, evidence }
  })
}

function causeOf(packet: Packet, [kind]: Kind, { document }: NumberStatement, agreeing: readonly NumberStatement[]) {
  // A claim's number is the insurer's, whoever writes it down.
  if (document === null || kind === 'claimNumber') return 'differs'
  if (document.kind === 'invoice')
    return findSupplierInvoices(packet).includes(document) ? 'supplier-number' : 'differs'
  if (document.kind === 'estimate') return 'differs'
  const serial = normaliseSerial(document.instrument?.serial ?? '')
  const ofSameInstrument = agreeing.some((other) => {
    return serial !== '' && normaliseSerial(other.document?.instrument?.serial ?? '') === serial
  })
  return ofSameInstrument ? 'differs' : 'own-number'
}

/** The shop's own invoices name the job as a rule; scans, records and insurers' estimates often do not (common practice). */
function tellLack(
  packet: Packet,
  kind: Kind,
  reference: NumberStatement,
  agreeing: readonly NumberStatement[],
): Outcome[] {
  const suppliers = findSupplierInvoices(packet)
  const odd = packet.documents.filter((document) => {
    if (document.kind !== 'invoice' || document.jobNumber !== undefined) return false
    if (suppliers.includes(document) || !wasRead(document)) return false
    const named = jobNumbers.bare(document.file.replace(/\.\w+$/, '')).includes(jobNumbers.bare(reference.written))
    return !named && findMentions(packet, document.file, reference.written, jobNumbers).length === 0
  })
  if (odd.length === 0) return []
  const others = agreeing.map(({ file }) => file)
  const data = { odd: odd.map(({ file }) => file), number: kind[1], expectedNumber: reference.written, others }
  const evidence = distinctPlaces([
    ...odd.map(({ file }) => ({ file, text: '' })),
    ...agreeing.flatMap((statement) => statement.evidence),
  ])
  return [{ state: 'unmet', message: 'not-stated', data, evidence }]
}
