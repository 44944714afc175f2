/**
 * Every calibration, scan and alignment on an invoice against the evidence in the packet. Whether the work came to its
 * end is another check's matter. A missing record does not prove that work was not done: where a file that may be the
 * record was not read or not understood, that is said instead.
 */
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { findPossibleRecords, wasRead } from '../unread.ts'
import { type BilledLine, type BilledWork, billedLines, workOf } from './billed-work.ts'
import { findEvidence, mayRecord, recordKinds } from './work-evidence.ts'

export const billedIsEvidenced: Check = {
  id: 'billed-is-evidenced',
  group: 'billing',
  claim: 'Every calibration, scan and alignment that is charged has evidence in the packet.',
  messages: {
    evidenced: { state: 'met', text: '"{line}" in {file} has its record: {work}.' },
    'not-evidenced': {
      state: 'unmet',
      text: '"{line}" is charged in {file}, and the packet holds no record of {missing}.',
    },
    'word-only': {
      state: 'unmet',
      text: '"{line}" is charged in {file}; for {claimed} there is only a statement, a photo or a drive log, and no record.',
    },
    'maybe-unread': {
      state: 'unmet',
      text: '"{line}" is charged in {file}; a record of {missing} was not found, but may stand in {unread}, which could not be read or told.',
    },
    'sensor-not-named': { state: 'undecided', text: '"{line}" in {file} does not say what was calibrated.' },
    'nothing-billed': { state: 'undecided', text: 'No invoice charges for a calibration, scan or alignment.' },
    'invoice-not-read': { state: 'undecided', text: 'The invoice {files} could not be read in full.' },
    'no-invoice': { state: 'undecided', text: 'The packet holds no invoice.' },
  },
  parameters: {},
  remedy: 'The record of the work charged, or an invoice without the line.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'repayment of what was charged',
    insurer: 'paying for work that nothing shows',
  },
  collect: [
    {
      step: 'papers',
      per: 'job',
      text: 'The invoice, with each scan, alignment and calibration on a line of its own that names the sensor',
    },
  ],
  run(packet) {
    const lines = billedLines(packet)
    return lines.length > 0 ? lines.map((line) => judge(packet, line)) : [explainAbsence(packet)]
  },
}

function judge(packet: Packet, { invoice, index, operation }: BilledLine): Outcome {
  const line = findPlaces(invoice, `operations.${index}`, operation.text)
  const data = { file: invoice.file, line: operation.text, amount: operation.amount ?? null }
  const works = workOf(operation)
  if (works.length === 0) return judgeUnnamed(packet, data, line)
  const found = works.map((work) => ({ work, ...findEvidence(packet, work) }))
  const namesOf = (strength: string) => found.filter((each) => each.strength === strength).map(({ work }) => work.name)
  const missing = namesOf('none')
  const claimed = namesOf('word')
  const evidence = distinctPlaces([...line, ...found.flatMap((each) => each.places)])
  if (missing.length > 0) {
    const unread = unreadFor(
      packet,
      found.filter((each) => each.strength === 'none').map(({ work }) => work),
    )
    const message = unread.length > 0 ? 'maybe-unread' : 'not-evidenced'
    const places = [...evidence, ...unread.map((file) => ({ file, text: '' }))]
    return { state: 'unmet', message, data: { ...data, missing, claimed, unread }, evidence: places }
  }
  if (claimed.length > 0) return { state: 'unmet', message: 'word-only', data: { ...data, claimed }, evidence }
  return { state: 'met', message: 'evidenced', data: { ...data, work: namesOf('record') }, evidence }
}

/** Files that may hold the record of every one of these works, by kind and by name, and were not read. */
function unreadFor(packet: Packet, works: readonly BilledWork[]): string[] {
  const each = works.map((work) =>
    findPossibleRecords(packet, recordKinds(work)).filter((file) => mayRecord(file, work)),
  )
  if (each.some((files) => files.length === 0)) return []
  return [...new Set(each.flat().map((document) => document.file))]
}

/** "Calibration" and nothing else: any recorded calibration may be the one meant. */
function judgeUnnamed(packet: Packet, data: Outcome['data'], line: Outcome['evidence']): Outcome {
  const records = calibrationRecords(packet)
  if (records.length === 0) return { state: 'undecided', message: 'sensor-not-named', data, evidence: line }
  const work = records.map((record) => record.label)
  const places = records.flatMap((record) => findPlaces(record.document, `calibrations.${record.index}`))
  return { state: 'met', message: 'evidenced', data: { ...data, work }, evidence: distinctPlaces([...line, ...places]) }
}

function explainAbsence(packet: Packet): Outcome {
  const invoices = packet.documents.filter((document) => document.kind === 'invoice')
  const unread = invoices.filter((invoice) => !wasRead(invoice)).map((invoice) => invoice.file)
  const message = unread.length > 0 ? 'invoice-not-read' : invoices.length > 0 ? 'nothing-billed' : 'no-invoice'
  const evidence = invoices.map(({ file }) => ({ file, text: '' }))
  return { state: 'undecided', message, data: { files: unread }, evidence }
}
