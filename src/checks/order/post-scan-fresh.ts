/**
 * How long, and over how many miles, the vehicle went on after its last post-scan before it was released. A post-scan
 * dated after the release is another check's matter.
 */
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import type { Check, DataValue, Outcome } from '../check.ts'
import { collectOdometer, kilometresPerMile, type OdometerReading } from '../identity/odometer-readings.ts'
import { framingEvents } from '../job-dates.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'
import { endOf, startOf } from './shared-time.ts'

export const postScanFresh: Check = {
  id: 'post-scan-fresh',
  group: 'order',
  claim: 'The last post-scan was taken shortly before the vehicle was released.',
  messages: {
    fresh: { state: 'met', text: 'The post-scan {file} was taken {days} days before the release at most.' },
    stale: {
      state: 'unmet',
      text: 'The post-scan {file} was taken at least {days} days before the release; {mostDays} are usual.',
    },
    'driven-on': {
      state: 'unmet',
      text: 'After the post-scan {file} ({scanOdometer}) the vehicle was driven {miles} miles ({laterOdometer} in {laterFile}); {mostMiles} are usual.',
    },
    'too-coarse': {
      state: 'undecided',
      text: 'The post-scan {file} and the release are not dated closely enough to tell how far apart they lie.',
    },
    'after-release': { state: 'undecided', text: 'The post-scan {file} is not dated before the release.' },
    'no-release': { state: 'undecided', text: 'The packet does not say when the vehicle was released.' },
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan with a date.' },
  },
  parameters: {
    mostDays: 'Days that may lie between the last post-scan and the release.',
    mostMiles: 'Miles that may lie between them.',
  },
  remedy: 'A scan of the whole vehicle on the day of its release.',
  suppliers: ['shop'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'releasing a vehicle whose state was recorded long before',
    owner: 'faults that came up after the scan',
  },
  collect: [{ step: 'release', per: 'job', text: 'Day and time of the release, and the odometer at that moment' }],
  run(packet, parameters) {
    const scans = packet.events.filter(({ kind, clock }) => kind === 'post-scan' && clock !== null)
    if (scans.length === 0) return nothingToCompare('no-post-scan')
    const miles = judgeMiles(packet, scans, numberParameter(parameters, 'mostMiles'))
    const releases = framingEvents(packet, 'release')
    if (releases.length === 0) return miles.length > 0 ? miles : nothingToCompare('no-release')
    return [judgeDays(packet, scans, releases, numberParameter(parameters, 'mostDays')), ...miles]
  },
}

interface Gap {
  scan: PacketEvent
  release: PacketEvent
  least: number
  most: number
}

/** The shortest gap counts: the last of several post-scans, and the first of several releases. */
function judgeDays(
  packet: Packet,
  scans: readonly PacketEvent[],
  releases: readonly PacketEvent[],
  mostDays: number,
): Outcome {
  const gaps = scans.flatMap((scan) =>
    releases.map((release): Gap => {
      // The scan may be taken at any moment of its record, the release at any moment of the day that is given for it.
      const [least] = packet.timeline.order(endOf(scan), startOf(release)).gapSeconds
      const [, most] = packet.timeline.order(startOf(scan), endOf(release)).gapSeconds
      return { scan, release, least, most }
    }),
  )
  const before = gaps.filter(({ most }) => most >= 0)
  const shortest = before.toSorted((a, b) => a.most - b.most)[0] ?? gaps[0]
  const { scan, release, least, most } = shortest as Gap
  const allowed = mostDays * 86_400
  const message =
    most < 0 ? 'after-release' : least > allowed ? 'stale' : most <= allowed ? 'fresh' : ('too-coarse' as const)
  const data: Record<string, DataValue> = {
    file: scan.file,
    days: inDays(message === 'stale' ? least : Math.max(0, most)),
    mostDays,
  }
  return {
    state: message === 'fresh' ? 'met' : message === 'stale' ? 'unmet' : 'undecided',
    message,
    data,
    evidence: distinctPlaces([...scan.evidence, ...release.evidence]),
    statements: packet.timeline.order(endOf(scan), startOf(release)).because,
  }
}

function inDays(seconds: number): number | null {
  return Number.isFinite(seconds) ? Math.round(seconds / 8640) / 10 : null
}

/** The odometer of a paper on which the vehicle leaves, against that of the post-scan. */
function judgeMiles(packet: Packet, scans: readonly PacketEvent[], mostMiles: number): Outcome[] {
  const { readings } = collectOdometer(packet)
  const atScan = furthest(readings.filter(({ event }) => event !== null && scans.includes(event)))
  const leaving = furthest(readings.filter(({ document }) => leavingKinds.has(document.kind)))
  if (atScan === null || leaving === null || !atScan.unitKnown || !leaving.unitKnown) return []
  const driven = (leaving.kilometres - atScan.kilometres) / kilometresPerMile
  if (driven <= mostMiles) return []
  const data = {
    file: atScan.document.file,
    scanOdometer: atScan.written,
    laterFile: leaving.document.file,
    laterOdometer: leaving.written,
    miles: Math.round(driven),
    mostMiles,
  }
  const evidence = distinctPlaces([...atScan.evidence, ...leaving.evidence])
  return [{ state: 'unmet', message: 'driven-on', data, evidence }]
}

const leavingKinds: ReadonlySet<string> = new Set(['invoice', 'statement'])

function furthest(readings: readonly OdometerReading[]): OdometerReading | null {
  return readings.toSorted((a, b) => b.kilometres - a.kilometres)[0] ?? null
}
