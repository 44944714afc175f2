/**
 * What one vehicle or one instrument cannot do at once, by the windows that records and logs state:
 * - stand before targets (a static calibration) while it drives: a log that may have been left running in the bay counts
 *   only for what it shows beyond all its standing time; a record of a dynamic calibration counts as it stands;
 * - leave the alignment rack in the midst of a drive;
 * - one instrument runs two static calibrations that begin and end one after the other and yet overlap.
 * Two sensors may learn on one drive, two instruments may work side by side, and a scan belongs to many a session: none
 * of that is held against a record.
 */
import type { Packet, PacketEvent, Statement } from '../../packet/packet.ts'
import { performedCalibrations, type TimedRecord } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'
import { boundShared, endOf, startOf } from './shared-time.ts'
import { readStatedTime } from './stated-time.ts'

export const eventsDoNotOverlap: Check = {
  id: 'events-do-not-overlap',
  group: 'order',
  claim: 'Neither the vehicle nor an instrument is in two events at once that exclude each other.',
  messages: {
    apart: { state: 'met', text: '{pairs} pairs of events that exclude each other lie apart.' },
    'standing-and-driving': {
      state: 'unmet',
      text: '{first} ({firstFile}) and {second} ({secondFile}) overlap by at least {leastSeconds} s, and the log stands for {standingSeconds} s only: the vehicle cannot stand before targets and drive.',
    },
    together: {
      state: 'unmet',
      text: '{first} ({firstFile}) and {second} ({secondFile}) overlap by at least {leastSeconds} s; a vehicle cannot be in both.',
    },
    'together-briefly': {
      state: 'unmet',
      text: '{first} ({firstFile}) and {second} ({secondFile}) overlap by at least {leastSeconds} s; a vehicle cannot be in both.',
    },
    'one-instrument-twice': {
      state: 'unmet',
      text: '{first} ({firstFile}) and {second} ({secondFile}) overlap by at least {leastSeconds} s on one instrument ({instrument}).',
    },
    'too-coarse': {
      state: 'undecided',
      text: '{first} ({firstFile}) and {second} ({secondFile}) exclude each other and are not timed closely enough to tell whether they overlap.',
    },
    'nothing-exclusive': { state: 'undecided', text: 'The packet tells of no two events that exclude each other.' },
  },
  parameters: {
    briefSeconds: 'An overlap of records up to this is brief: a session opened early or closed late, in seconds.',
  },
  remedy: 'The original records with their times, or proof of how the clock of one of them was set.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'records that cannot both be true',
    insurer: 'paying for work that cannot have taken place as stated',
  },
  collect: [],
  run(packet, parameters) {
    const brief = numberParameter(parameters, 'briefSeconds')
    const judged = listPairs(packet).map((pair) => ({ pair, message: judge(packet, pair, brief) }))
    if (judged.length === 0) return nothingToCompare('nothing-exclusive')
    const unmet = judged.flatMap(({ pair, message }) => {
      return message === 'apart' || message === 'too-coarse' ? [] : [tell(packet, pair, message, 'unmet')]
    })
    if (unmet.length > 0) return unmet
    const open = judged.find(({ message }) => message === 'too-coarse')
    if (open !== undefined) return [tell(packet, open.pair, 'too-coarse', 'undecided')]
    const evidence = distinctPlaces(judged.flatMap(({ pair }) => placesOf(pair)))
    return [{ state: 'met', message: 'apart', data: { pairs: judged.length }, evidence }]
  },
}

interface Pair {
  first: PacketEvent
  second: PacketEvent
  kind: 'static-and-log' | 'static-and-dynamic' | 'rack-and-drive' | 'instrument'
  /** For a log: seconds in which it stands. */
  standing: number
  instrument: string
}

function listPairs(packet: Packet): Pair[] {
  const records = performedCalibrations(packet).filter(({ event }) => event.clock !== null)
  const statics = records.filter(({ reading }) => reading.method === 'static')
  const dynamics = records.filter(({ reading }) => reading.method === 'dynamic')
  const base = { standing: 0, instrument: '' }
  const moving = [
    ...findLogs(packet).map((log) => ({ ...log, kind: 'static-and-log' as const })),
    ...dynamics.map(({ event }) => ({ event, standing: 0, kind: 'static-and-dynamic' as const })),
  ]
  const racks = packet.events.filter((event) => event.kind === 'alignment' && statesItsEnd(packet, event))
  return [
    ...statics.flatMap(({ event: first }) =>
      moving
        .filter(({ event }) => !sharesSession(packet, first, event))
        .map(({ event: second, standing, kind }): Pair => ({ ...base, first, second, kind, standing })),
    ),
    ...racks.flatMap((first) =>
      moving.map(({ event: second, standing }): Pair => ({ ...base, first, second, kind: 'rack-and-drive', standing })),
    ),
    ...statics.flatMap((one, index) =>
      statics.slice(index + 1).flatMap((other): Pair[] => {
        const instrument = sharedInstrument(one, other)
        return instrument === null
          ? []
          : [{ ...base, first: one.event, second: other.event, kind: 'instrument', instrument }]
      }),
    ),
  ]
}

/** Drives of which the log tells how long they moved. */
function findLogs(packet: Packet): { event: PacketEvent; standing: number }[] {
  return packet.events.flatMap((event) => {
    const drive = event.kind === 'drive' ? packet.documents[event.document ?? -1]?.drive : undefined
    const { durationSeconds = null, movingSeconds = null } = drive ?? {}
    if (event.clock === null || durationSeconds === null || movingSeconds === null) return []
    return [{ event, standing: Math.max(0, durationSeconds - movingSeconds) }]
  })
}

function statesItsEnd(packet: Packet, event: PacketEvent): boolean {
  const { printed, byRecord, local } = readStatedTime(packet, event, 'end')
  return printed !== null && !byRecord && (local ?? '').length > 10
}

/** Two runs of one report that begin at the same minute: the times are those of the session, not of either run. */
function sharesSession(packet: Packet, a: PacketEvent, b: PacketEvent): boolean {
  if (a.document === null || a.document !== b.document) return false
  const [one, other] = [readStatedTime(packet, a, 'start'), readStatedTime(packet, b, 'start')]
  return one.local !== null && one.local === other.local
}

function sharedInstrument(a: TimedRecord, b: TimedRecord): string | null {
  const [one, other] = [a, b].map(({ document }) =>
    document.instrument?.serial?.toUpperCase().replace(/[^A-Z0-9]/g, ''),
  )
  if (a.document === b.document || !one || one !== other) return null
  return a.document.instrument?.serial ?? one
}

type Message =
  | 'apart'
  | 'standing-and-driving'
  | 'together'
  | 'together-briefly'
  | 'one-instrument-twice'
  | 'too-coarse'

function judge(packet: Packet, pair: Pair, brief: number): Message {
  const { first, second, kind, standing } = pair
  if (kind === 'rack-and-drive') return judgeRack(packet, pair, brief)
  const [least, most] = boundShared(packet, first, second)
  if (most <= 0) return 'apart'
  if (kind === 'instrument') {
    if (least > 0) return isStaggered(packet, first, second) ? 'one-instrument-twice' : 'apart'
  } else if (kind === 'static-and-log') {
    if (least > standing) return 'standing-and-driving'
    if (most <= standing) return 'apart'
  } else if (least > 0) return least > brief ? 'together' : 'together-briefly'
  return 'too-coarse'
}

/** Both edges of one come certainly before those of the other. One within the other may be a part of its session. */
function isStaggered(packet: Packet, a: PacketEvent, b: PacketEvent): boolean {
  const isBefore = (x: PacketEvent, y: PacketEvent) =>
    packet.timeline.order(startOf(x), startOf(y)).gapSeconds[0] > 0 &&
    packet.timeline.order(endOf(x), endOf(y)).gapSeconds[0] > 0
  return isBefore(a, b) || isBefore(b, a)
}

function judgeRack(packet: Packet, { first, second, standing }: Pair, brief: number): Message {
  const since = packet.timeline.order(startOf(second), endOf(first)).gapSeconds
  const until = packet.timeline.order(endOf(first), endOf(second)).gapSeconds
  const slack = Math.max(brief, standing)
  if (since[0] > slack && until[0] > slack) return 'together'
  // A rack's report is closed when somebody gets to it: minutes into a drive say nothing.
  return since[1] <= slack || until[1] <= slack ? 'apart' : 'too-coarse'
}

function tell(packet: Packet, pair: Pair, message: Message, state: Outcome['state']): Outcome {
  const { first, second, standing, instrument, kind } = pair
  const least =
    kind === 'rack-and-drive'
      ? packet.timeline.order(startOf(second), endOf(first)).gapSeconds[0]
      : boundShared(packet, first, second)[0]
  return {
    state,
    message,
    data: {
      first: first.label,
      firstFile: first.file,
      second: second.label,
      secondFile: second.file,
      leastSeconds: Number.isFinite(least) ? Math.floor(least) : null,
      standingSeconds: Math.round(standing),
      instrument,
    },
    evidence: distinctPlaces(placesOf(pair)),
    statements: state === 'undecided' ? [] : proveOverlap(packet, first, second),
  }
}

/** What shows that neither ended before the other began. */
function proveOverlap(packet: Packet, a: PacketEvent, b: PacketEvent): Statement[] {
  const proofs = [packet.timeline.order(endOf(a), startOf(b)), packet.timeline.order(endOf(b), startOf(a))]
  return [...new Map(proofs.flatMap(({ because }) => because).map((each) => [each.id, each])).values()]
}

function placesOf({ first, second }: Pair) {
  return [...first.evidence, ...second.evidence]
}
