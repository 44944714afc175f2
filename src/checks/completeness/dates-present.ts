import type { DateReading, DocumentFacts, DocumentKind } from '../../facts/document.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { listFiles, placeFiles, wasRead } from '../unread.ts'

const dated: readonly DocumentKind[] = ['pre-scan', 'post-scan', 'scan', 'calibration']

export const datesPresent: Check = {
  id: 'dates-present',
  group: 'completeness',
  claim: 'Every scan and calibration record says when it was made.',
  messages: {
    dated: { state: 'met', text: 'Each of {files} carries a date and a time of day.' },
    'no-date': { state: 'unmet', text: '{file}, a {kind} record, carries no date.' },
    'no-time-of-day': { state: 'unmet', text: '{file} carries a date ({printed}) without a time of day.' },
    'day-and-month-unclear': {
      state: 'unmet',
      text: 'The date {printed} in {file} can be read as {alternatives}: day and month cannot be told apart.',
    },
    'zone-decides': {
      state: 'unmet',
      text: 'The time {printed} in {file} names no zone, and without one it cannot be told whether {before} came before {after}.',
    },
    unread: { state: 'undecided', text: 'No date was found in {file}, but not all of the file could be read.' },
    'no-records': { state: 'undecided', text: 'The packet holds no scan or calibration record.' },
  },
  parameters: {},
  remedy: 'Have the record printed again with date, time and zone, or declare the zone of the clocks in packet.yaml.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'an order of work that cannot be shown',
    calibrator: 'a record that cannot be placed in time',
  },
  collect: [
    {
      step: 'papers',
      per: 'job',
      text: 'Date, time of day and zone on every scan and calibration record, or the zone declared in packet.yaml',
    },
  ],
  run(packet) {
    const records = packet.documents.filter((document) => dated.includes(document.kind))
    if (records.length === 0) return [{ state: 'undecided', message: 'no-records', data: {}, evidence: [] }]
    const outcomes = records.flatMap((document) => judgeDates(packet, document))
    if (outcomes.length > 0) return outcomes
    const evidence = records.flatMap((document) =>
      collectDates(document).flatMap(({ path }) => findPlaces(document, path)),
    )
    return [{ state: 'met', message: 'dated', data: { files: listFiles(records) }, evidence }]
  },
}

interface Dated {
  path: string
  date: DateReading
}

/** The record's own date and those of its calibrations. */
function collectDates(document: DocumentFacts): Dated[] {
  const found: Dated[] = document.date ? [{ path: 'date', date: document.date }] : []
  document.calibrations?.forEach(({ started, ended, attempts = [] }, index) => {
    if (started) found.push({ path: `calibrations.${index}.started`, date: started })
    if (ended) found.push({ path: `calibrations.${index}.ended`, date: ended })
    attempts.forEach(({ at }, attempt) => {
      if (at) found.push({ path: `calibrations.${index}.attempts.${attempt}.at`, date: at })
    })
  })
  return found
}

/** The worst that can be said of a record's dates; nothing when they are in order. */
function judgeDates(packet: Packet, document: DocumentFacts): Outcome[] {
  const { file, kind } = document
  const dates = collectDates(document)
  const [first] = dates
  if (first === undefined) {
    const evidence = placeFiles([document])
    if (!wasRead(document)) return [{ state: 'undecided', message: 'unread', data: { file }, evidence }]
    return [{ state: 'unmet', message: 'no-date', data: { file, kind: kind.replace('-', ' ') }, evidence }]
  }
  const unmet = (message: string, { path, date }: Dated, data: Outcome['data'] = {}): Outcome[] => {
    const evidence = findPlaces(document, path, date.text)
    return [{ state: 'unmet', message, data: { file, printed: date.text, ...data }, evidence }]
  }
  const clear = dates.filter(({ date }) => date.local !== null)
  if (clear.length === 0) return unmet('day-and-month-unclear', first, { alternatives: first.date.alternatives ?? [] })
  const timed = clear.filter(({ date }) => date.local?.includes('T'))
  const [best] = timed
  if (best === undefined) return unmet('no-time-of-day', first)
  if (timed.some(({ date }) => date.offset !== null || date.zone !== undefined)) return []
  const open = findOpenOrder(packet, document)
  return open ? unmet('zone-decides', best, { before: open[0].label, after: open[1].label }) : []
}

const stages: Partial<Record<PacketEvent['kind'], number>> = { 'pre-scan': 0, calibration: 1, 'post-scan': 2 }

/** Two stages of the work, one of them in this record, whose order the clocks leave open. */
function findOpenOrder(packet: Packet, document: DocumentFacts): readonly [PacketEvent, PacketEvent] | null {
  const index = packet.documents.indexOf(document)
  const staged = packet.events.filter((event) => stages[event.kind] !== undefined)
  for (const before of staged) {
    for (const after of staged) {
      const consecutive = (stages[before.kind] ?? 0) < (stages[after.kind] ?? 0)
      if (!consecutive || (before.document !== index && after.document !== index)) continue
      if (before.document === after.document || clockOf(before) === clockOf(after)) continue
      const { answer } = packet.timeline.order({ event: before.id, edge: 'end' }, { event: after.id, edge: 'start' })
      if (answer === 'possible' && isBounded(before, after)) return [before, after]
    }
  }
  return null
}

/** An edge that nothing bounds leaves the order open whatever the zones are. */
function isBounded(before: PacketEvent, after: PacketEvent): boolean {
  return [before.earliestEnd, before.latestEnd, after.earliestStart, after.latestStart].every((bound) => bound !== null)
}

/** Times read off one clock are in order whatever its zone is; an event without a clock shares none. */
function clockOf(event: PacketEvent): string {
  return event.clock ?? event.id
}
