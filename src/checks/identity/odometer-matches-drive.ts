/**
 * The odometer before and after a drive against the distance that its log has measured. It may rise by more: a vehicle is
 * moved about, taken to an alignment and test-driven without a log (`odometer-runs-forward` says how much more needs a
 * word). It cannot rise by less.
 */
import { drivenMetres } from '../../facts/motion.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { placesOfLog, type TrackedLog, trackedLogs } from '../drive/logs.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import {
  collectOdometer,
  kilometresPerMile,
  type Moment,
  type OdometerReading,
  wasTakenBefore,
} from './odometer-readings.ts'

export const odometerMatchesDrive: Check = {
  id: 'odometer-matches-drive',
  group: 'identity',
  claim: 'From before a drive to after it the odometer rises by at least what the log of the drive has measured.',
  messages: {
    matches: {
      state: 'met',
      text: 'The odometer rises by {risenMiles} mi, from {earlier} to {later}, over the {loggedMiles} mi of {log}.',
    },
    'room-left': {
      state: 'met',
      text: 'The odometer rises by {risenMiles} mi, from {earlier} to {later}, which leaves room for the {loggedMiles} mi of {log}.',
    },
    short: {
      state: 'unmet',
      text: 'The odometer rises by {risenMiles} mi, from {earlier} in {earlierFile} to {later} in {laterFile}, less than the {loggedMiles} mi that {log} has measured between them.',
    },
    'a-little-short': {
      state: 'unmet',
      text: 'The odometer rises by {risenMiles} mi, from {earlier} in {earlierFile} to {later} in {laterFile}, a little less than the {loggedMiles} mi that {log} has measured between them.',
    },
    'no-pair': {
      state: 'undecided',
      text: 'No two odometer readings with a unit are known to be taken before and after the drive of {log}.',
    },
    'runs-back': {
      state: 'undecided',
      text: 'The odometer reads less after the drive of {log} ({later}) than before it ({earlier}), so one of the two is misread.',
    },
    'not-logged': { state: 'undecided', text: 'No log of the packet tells how far the vehicle was driven.' },
  },
  parameters: {
    roundingUnits: 'What rounding may hide, in units of the coarser of two readings (miles or kilometres).',
    failShare: 'Share of the logged distance by which the odometer may fall short before it contradicts the log.',
    failMiles: 'Miles by which it may fall short; both must be exceeded.',
    warnShare: 'Share by which it falls a little short.',
    warnMiles: 'Miles by which it falls a little short; both must be exceeded.',
  },
  remedy: 'The odometer read at the vehicle, and a word on which reading or which log is of another vehicle or day.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'vehicle',
  exposes: { calibrator: 'a drive that the odometer does not show' },
  collect: [{ step: 'dynamic', per: 'dynamic', text: 'The odometer before and after the drive for {subject}' }],
  run(packet, parameters) {
    const logs = trackedLogs(packet).flatMap((log) => {
      const metres = drivenMetres(log.track.points)
      return metres === null ? [] : [{ log, miles: metres / 1000 / kilometresPerMile }]
    })
    if (logs.length === 0) return [{ state: 'undecided', message: 'not-logged', data: {}, evidence: [] }]
    const readings = collectOdometer(packet).readings.filter(({ unitKnown }) => unitKnown)
    return logs.map(({ log, miles }) => judge(packet, log, miles, readings, parameters))
  },
}

function judge(
  packet: Packet,
  log: TrackedLog,
  logged: number,
  readings: readonly OdometerReading[],
  parameters: Parameters,
): Outcome {
  const drive = momentOf(log)
  const before = readings.filter((reading) => wasTakenBefore(packet, reading, drive))
  const after = readings.filter((reading) => wasTakenBefore(packet, drive, reading))
  // The widest pair leaves the most room, so that one misread number is not held against the drive; from an estimate on,
  // though, its owner may have driven the vehicle.
  const atShop = before.filter(({ document }) => document.kind !== 'estimate')
  const earlier = pick(atShop.length > 0 ? atShop : before, (a, b) => a.kilometres < b.kilometres)
  const later = pick(after, (a, b) => a.kilometres > b.kilometres)
  const names = { log: log.document.file }
  if (earlier === null || later === null)
    return { state: 'undecided', message: 'no-pair', data: names, evidence: placesOfLog(log) }
  const number = (name: string) => numberParameter(parameters, name)
  const risen = (later.kilometres - earlier.kilometres) / kilometresPerMile
  const coarser = Math.max(later.unitKilometres, earlier.unitKilometres) / kilometresPerMile
  const rounding = number('roundingUnits') * coarser
  const missing = logged - risen - rounding
  const beyond = (key: 'fail' | 'warn') => missing > logged * number(`${key}Share`) && missing > number(`${key}Miles`)
  const message = beyond('fail')
    ? 'short'
    : beyond('warn')
      ? 'a-little-short'
      : risen > logged + rounding
        ? 'room-left'
        : 'matches'
  const data = {
    ...names,
    risenMiles: risen,
    loggedMiles: logged,
    roundingMiles: rounding,
    missingMiles: Math.max(0, missing),
    earlier: earlier.written,
    earlierFile: earlier.document.file,
    later: later.written,
    laterFile: later.document.file,
  }
  if (risen + rounding < 0)
    return { state: 'undecided', message: 'runs-back', data, evidence: [...earlier.evidence, ...later.evidence] }
  return {
    state: message === 'matches' || message === 'room-left' ? 'met' : 'unmet',
    message,
    data,
    evidence: distinctPlaces([...earlier.evidence, ...later.evidence, ...placesOfLog(log)]),
    working: [
      {
        text: '{loggedMiles} mi logged less {risenMiles} mi on the odometer less {roundingMiles} mi for rounding leave {missingMiles} mi unexplained.',
        data,
      },
    ],
  }
}

function pick<Item>(items: readonly Item[], isBetter: (next: Item, best: Item) => boolean): Item | null {
  return items.reduce<Item | null>((best, next) => (best === null || isBetter(next, best) ? next : best), null)
}

/** What nothing bounds is infinitely far away. */
function momentOf({ event }: TrackedLog): Moment {
  const from = event?.earliestStart
  const to = event?.latestEnd
  return {
    event,
    from: from ? Date.parse(from) : Number.NEGATIVE_INFINITY,
    to: to ? Date.parse(to) : Number.POSITIVE_INFINITY,
  }
}
