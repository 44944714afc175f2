/**
 * Recorded calibrations against the invoices. Work that is on no bill is often only given away or charged within other
 * work, so this is for a person to look at. Setting an angle or level to zero is usually part of other work.
 */

import { agreesInPosition } from '../../facts/position.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import {
  type CalibrationRecord,
  calibrationRecords,
  finalAttempt,
  placesOfRecord,
  sameCalibration,
} from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { findPossibleRecords, wasRead } from '../unread.ts'
import { type BilledLine, billedLines, workOf } from './billed-work.ts'
import { findSupplierInvoices } from './supplier-invoices.ts'

export const evidencedIsBilled: Check = {
  id: 'evidenced-is-billed',
  group: 'billing',
  claim: 'Every recorded calibration is on an invoice.',
  messages: {
    billed: { state: 'met', text: '{calibration}, recorded in {file}, is charged in {invoices}: "{lines}".' },
    'part-of-alignment': {
      state: 'met',
      text: '{calibration}, recorded in {file}, usually belongs to the wheel alignment that {invoices} charges.',
    },
    'not-billed': { state: 'unmet', text: '{calibration}, recorded in {file}, is on no line of {invoices}.' },
    'setting-not-billed': {
      state: 'unmet',
      text: '{calibration}, recorded in {file}, is on no line of {invoices}; such a setting is usually part of other work.',
    },
    'line-names-no-sensor': {
      state: 'undecided',
      text: '{calibration}, recorded in {file}, may be what {invoices} charges as "{lines}".',
    },
    'invoice-not-read': {
      state: 'undecided',
      text: 'An invoice may stand in {files}, which could not be read in full.',
    },
    'no-invoice': {
      state: 'undecided',
      text: 'The packet holds no invoice of the shop with lines that could be read.',
    },
    'no-calibration': { state: 'undecided', text: 'The packet holds no record of a calibration that was carried out.' },
  },
  parameters: {},
  remedy: 'An invoice that lists the calibration, or a note that it was not charged or charged by whom.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: { shop: 'work done and not charged, or a record that belongs to another job' },
  // billed-is-evidenced asks for the invoice.
  collect: [],
  run(packet) {
    const records = distinctRecords(packet)
    if (records.length === 0) return [{ state: 'undecided', message: 'no-calibration', data: {}, evidence: [] }]
    const invoices = packet.documents.filter((document) => document.kind === 'invoice')
    const suppliers = findSupplierInvoices(packet)
    const own = invoices.filter((invoice) => !suppliers.includes(invoice) && (invoice.operations ?? []).length > 0)
    const lines = billedLines(packet)
    const outcomes = records.map((record) =>
      judge(
        packet,
        record,
        lines,
        own.map(({ file }) => file),
      ),
    )
    const open = outcomes.every((outcome) => outcome.state === 'met') ? [] : unreadInvoices(packet)
    if (open.length > 0) {
      const places = open.map((file) => ({ file, text: '' }))
      return [{ state: 'undecided', message: 'invoice-not-read', data: { files: open }, evidence: places }]
    }
    if (own.length > 0) return outcomes
    const billed = outcomes.filter((outcome) => outcome.state === 'met')
    return billed.length > 0 ? billed : [{ state: 'undecided', message: 'no-invoice', data: {}, evidence: [] }]
  },
}

/** Completed calibrations, each once however many files and runs record it. */
function distinctRecords(packet: Packet): CalibrationRecord[] {
  const done = calibrationRecords(packet).filter(({ reading }) => finalAttempt(reading).outcome === 'completed')
  return done.filter(
    (record, index) => !done.slice(0, index).some((earlier) => sameCalibration(earlier.reading, record.reading)),
  )
}

function unreadInvoices(packet: Packet): string[] {
  const invoices = packet.documents.filter((document) => document.kind === 'invoice' && !wasRead(document))
  return [...new Set([...invoices, ...findPossibleRecords(packet, ['invoice'])].map(({ file }) => file))]
}

function judge(packet: Packet, record: CalibrationRecord, lines: readonly BilledLine[], invoices: string[]): Outcome {
  const named = lines.filter((line) => charges(line, record))
  const label = { calibration: capitalise(record.label), file: record.document.file }
  if (named.length > 0) return tell('billed', label, record, named)
  const isSetting = record.reading.method === 'initialisation'
  const alignments = lines.filter(({ operation }) => operation.kind === 'alignment')
  if (record.reading.sensor === 'steering-angle' && alignments.length > 0)
    return tell('part-of-alignment', label, record, alignments)
  const unnamed = lines.filter(({ operation }) => operation.kind === 'calibration' && workOf(operation).length === 0)
  if (unnamed.length > 0) return tell('line-names-no-sensor', label, record, unnamed)
  const loose = findFilePlaces(packet)
  if (loose.length > 0) {
    const data = {
      ...label,
      invoices: [...new Set(loose.map(({ file }) => file))],
      lines: loose.map(({ text }) => text),
    }
    const evidence = distinctPlaces([...placesOfRecord(record, 'outcome'), ...loose])
    return { state: 'undecided', message: 'line-names-no-sensor', data, evidence }
  }
  const evidence = [...placesOfRecord(record, 'outcome'), ...invoices.map((file) => ({ file, text: '' }))]
  const message = isSetting ? 'setting-not-billed' : 'not-billed'
  return { state: 'unmet', message, data: { ...label, invoices }, evidence: distinctPlaces(evidence) }
}

function charges({ operation }: BilledLine, { reading }: CalibrationRecord): boolean {
  if (reading.sensor === 'other') return operation.kind === 'calibration'
  return workOf(operation).some((work) => {
    if (work.kind !== 'calibration' || work.sensor !== reading.sensor) return false
    const methods = [work.method, reading.method]
    const sameMethod = work.method === reading.method || methods.includes('unknown')
    return sameMethod && agreesInPosition(work.position, reading.position)
  })
}

const speaksOfCalibration = /\bcalibrat|\baim(?:ing|ed)?\b|\badas\b|\bdriver assist/i

const priced = /\d[.,]\d{2}(?!\d)/

/** What invoices say of calibration beside the charges that were understood: a line of another kind, or one with a price. */
function findFilePlaces(packet: Packet): FilePlace[] {
  const invoices = packet.documents.filter((document) => document.kind === 'invoice')
  return invoices.flatMap(({ file, operations = [] }): FilePlace[] => {
    const known = operations.filter(({ kind }) => kind === 'calibration').map(({ text }) => text)
    const others = operations.flatMap(({ text, kind }) => (kind === 'calibration' ? [] : [{ file, text }]))
    const lines = (packet.content[file]?.lines ?? []).filter(({ text }) => priced.test(text))
    const unknown = lines.filter(({ text }) => !known.some((line) => text.includes(line)))
    return [...others, ...unknown.map((line) => ({ file, ...line }))].filter(({ text }) =>
      speaksOfCalibration.test(text),
    )
  })
}

function tell(
  message: 'billed' | 'part-of-alignment' | 'line-names-no-sensor',
  label: { calibration: string; file: string },
  record: CalibrationRecord,
  lines: readonly BilledLine[],
): Outcome {
  const places = lines.flatMap(({ invoice, index, operation }) =>
    findPlaces(invoice, `operations.${index}`, operation.text),
  )
  return {
    state: message === 'line-names-no-sensor' ? 'undecided' : 'met',
    message,
    data: {
      ...label,
      invoices: [...new Set(lines.map(({ invoice }) => invoice.file))],
      lines: lines.map(({ operation }) => operation.text),
    },
    evidence: distinctPlaces([...placesOfRecord(record, 'outcome'), ...places]),
  }
}

function capitalise(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
