/**
 * What the records of one instrument say of it. A shop may own two units of a make, and an instrument may be updated
 * between two days: a difference is for a person to look at, never proof of anything (common practice, no source).
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { normaliseSerial } from './serial-statements.ts'
import { compareNumbers } from './written-numbers.ts'

export const equipmentAgrees: Check = {
  id: 'equipment-agrees',
  group: 'identity',
  claim: 'Records of one instrument name one serial number and one software version.',
  messages: {
    agree: { state: 'met', text: '{files} name the same instrument: {instrument}.' },
    updated: {
      state: 'met',
      text: 'The software of {instrument} is {software} in {file} and {later} in {laterFile} of a later day, as after an update.',
    },
    'serial-slip': {
      state: 'unmet',
      text: '{instrument} has the serial number {serial} in {file} and {other} in {otherFiles}: nearly the same.',
    },
    'two-units': {
      state: 'unmet',
      text: '{instrument} has the serial number {serial} in {file} and {other} in {otherFiles}: two units, or records of two sources.',
    },
    'software-differs': {
      state: 'unmet',
      text: '{instrument} has the software {software} in {file} and {other} in {otherFile}, and no update between two days explains it.',
    },
    'software-unclear': {
      state: 'undecided',
      text: '{instrument} has the software {software} in {file} and {other} in {otherFile}, written in ways that cannot be compared.',
    },
    'one-record': { state: 'undecided', text: 'No two records of the packet name the same instrument.' },
  },
  parameters: {},
  remedy: "The instrument's own list of sessions, or a note of which unit was used and when its software was updated.",
  suppliers: ['calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: { calibrator: 'records that seem not to come from the instrument they name' },
  collect: [],
  run(packet) {
    const records = collectRecords(packet)
    const units = [...Map.groupBy(records, (record) => record.serial).values()]
    const outcomes = [...compareUnits(units), ...units.flatMap(compareSoftware)]
    if (outcomes.length > 0) return outcomes
    const shared = units.filter((unit) => unit.length > 1)
    if (shared.length === 0) return [{ state: 'undecided', message: 'one-record', data: {}, evidence: [] }]
    return shared.map((unit) => {
      const data = { files: unit.map(({ document }) => document.file), instrument: nameOf(unit) }
      return {
        state: 'met',
        message: 'agree',
        data,
        evidence: distinctPlaces(unit.flatMap(({ evidence }) => evidence)),
      }
    })
  },
}

interface InstrumentRecord {
  document: DocumentFacts
  /** Bare: upper case letters and digits. */
  serial: string
  /** Lower case, letters and digits; empty where the record names none, or only repeats the serial number. */
  name: string
  evidence: FilePlace[]
}
type Unit = readonly InstrumentRecord[]

function collectRecords(packet: Packet): InstrumentRecord[] {
  return packet.documents.flatMap((document): InstrumentRecord[] => {
    const { serial, name = '' } = document.instrument ?? {}
    if (serial === undefined || normaliseSerial(serial).length < 3) return []
    const bare = normaliseSerial(name)
    const evidence = findPlaces(document, 'instrument.serial', serial)
    const own = bare === normaliseSerial(serial) || !/[A-Z]/.test(bare) ? '' : bare.toLowerCase()
    return [{ document, serial: normaliseSerial(serial), name: own, evidence }]
  })
}

function nameOf(unit: Unit): string {
  const written = unit.flatMap(({ document, name }) => (name === '' ? [] : [document.instrument?.name ?? '']))
  return `${written[0] ?? 'the instrument'} ${unit[0]?.document.instrument?.serial ?? ''}`.trim()
}

/** Units of one name with serial numbers of which neither is the end of the other. */
function compareUnits(units: readonly Unit[]): Outcome[] {
  return units.flatMap((unit, index) =>
    units.slice(index + 1).flatMap((other): Outcome[] => {
      const [a, b] = [unit[0], other[0]]
      const shared = unit.find(({ name }) => name !== '' && other.some((record) => record.name === name))
      if (a === undefined || b === undefined || shared === undefined) return []
      if (a.serial.endsWith(b.serial) || b.serial.endsWith(a.serial)) return []
      const message = compareNumbers(a.serial, b.serial).kind === 'different' ? 'two-units' : 'serial-slip'
      const data = {
        instrument: shared.document.instrument?.name ?? '',
        serial: a.document.instrument?.serial ?? '',
        file: unit.map(({ document }) => document.file),
        other: b.document.instrument?.serial ?? '',
        otherFiles: other.map(({ document }) => document.file),
      }
      const evidence = distinctPlaces([...unit, ...other].flatMap((record) => record.evidence))
      return [{ state: 'unmet', message, data, evidence }]
    }),
  )
}

/** Records of one unit in the order of their days, each compared with the next that states a version. */
function compareSoftware(unit: Unit): Outcome[] {
  const stated = unit
    .filter(({ document }) => document.instrument?.software !== undefined)
    .toSorted((a, b) => compareText(dayOf(a), dayOf(b)))
  return stated.slice(1).flatMap((record, index): Outcome[] => {
    const before = stated[index]
    const message = before === undefined ? null : judgeVersions(before, record)
    if (before === undefined || message === null) return []
    const [software, other] = [before, record].map(({ document }) => document.instrument?.software ?? '')
    const [file, otherFile] = [before, record].map(({ document }) => document.file)
    const evidence = [before, record].flatMap(({ document }) => findPlaces(document, 'instrument.software'))
    const names = { instrument: nameOf(unit), software: software ?? '', file: file ?? '' }
    const rest = { other: other ?? '', otherFile: otherFile ?? '', later: other ?? '', laterFile: otherFile ?? '' }
    const state = message === 'updated' ? 'met' : message === 'software-unclear' ? 'undecided' : 'unmet'
    return [{ state, message, data: { ...names, ...rest }, evidence: distinctPlaces(evidence) }]
  })
}

/** The day as printed; empty where none is. */
function dayOf({ document }: InstrumentRecord): string {
  return document.date?.local?.slice(0, 10) ?? ''
}

const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

/** Null where the versions are the same, or one only leaves out the end of the other. */
function judgeVersions(before: InstrumentRecord, after: InstrumentRecord): string | null {
  const [a, b] = [before, after].map(({ document }) => numbersOf(document.instrument?.software ?? '')) as [
    number[],
    number[],
  ]
  const shared = Math.min(a.length, b.length)
  if (shared === 0) return textOf(before) === textOf(after) ? null : 'software-unclear'
  const at = a.findIndex((number, index) => index < shared && number !== b[index])
  if (at < 0) return null
  // "4.18" beside "2026.04": a version and a state of data.
  if (a.length !== b.length) return 'software-unclear'
  const [dayBefore, dayAfter] = [dayOf(before), dayOf(after)]
  const isLater = dayBefore !== '' && dayBefore < dayAfter
  return isLater && (b[at] ?? 0) > (a[at] ?? 0) ? 'updated' : 'software-differs'
}

function numbersOf(software: string): number[] {
  return (software.match(/\d+/g) ?? []).map(Number)
}

function textOf({ document }: InstrumentRecord): string {
  return normaliseSerial(document.instrument?.software ?? '')
}
