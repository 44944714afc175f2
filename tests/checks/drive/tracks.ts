/** Simulated drives: a car that a driver steers, stops and lets roll, logged by receivers and loggers of several kinds. */
import { type Chance, seedChance, wander } from '../../../examples/chance.ts'
import type { CalibrationReading, DocumentFacts } from '../../../src/facts/document.ts'
import type { Track, TrackPoint } from '../../../src/facts/reading.ts'
import { measureDrive } from '../../../src/facts/recognise/drive.ts'
import type { Packet, PacketEvent } from '../../../src/packet/packet.ts'
import { makeDate, makeDocument, makeEvent, makePacket, makePlace, type PacketParts } from '../packet-builder.ts'

/** 2026-06-10T15:00:00Z, seconds since 1970. */
export const departure = Date.parse('2026-06-10T15:00:00Z') / 1000
/** Open country, where nothing of this was ever driven. */
export const shopPosition = [41.2, -98.4] as const

/** A stretch: seconds, the speed aimed at in km/h, and the turn at its beginning in degrees. */
export type Stretch = readonly [seconds: number, kmh: number, turn?: number]

/** Lights, side streets, a main road and back. */
export const townAndCountry: readonly Stretch[] = [
  [20, 0],
  [40, 45],
  [25, 0],
  [60, 50, 80],
  [30, 0, -60],
  [240, 80, 30],
  [45, 60, 20],
  [200, 95, -15],
  [40, 50, 90],
  [30, 0],
  [60, 45, 70],
  [20, 0],
]
/** A straight road at a set speed. */
export const cruising: readonly Stretch[] = [[900, 100]]

export interface Logger {
  seed: number
  /** Fixes a second. */
  rate?: number
  /** Decimals of degrees, and of km/h. */
  decimals?: number
  speedDecimals?: number
  /** White noise and slow drift of a receiver, metres. */
  white?: number
  drift?: number
  /** Seconds over which positions are averaged. */
  smoothSeconds?: number
  /** The receiver gives a new fix only so often, in seconds; the logger writes the old one again. */
  staleSeconds?: number
  positions?: boolean
  speeds?: boolean
  /** A wheel speed beside the satellite's, so many seconds late. */
  wheelLag?: number
}

interface Motion {
  east: number
  north: number
  speed: number
}

const perSecond = 20

/** The true motion, twenty times a second. */
function driveStretches(stretches: readonly Stretch[], chance: Chance): Motion[] {
  const foot = wander(chance, 0.35, 8, 1 / perSecond)
  const lane = wander(chance, 0.004, 4, 1 / perSecond)
  let [east, north, speed, heading] = [0, 0, 0, 0.7]
  const motions: Motion[] = []
  stretches.forEach(([seconds, kmh, turn = 0], index) => {
    if (index === 0) speed = kmh / 3.6
    let left = (turn * Math.PI) / 180
    for (let tick = 0; tick < seconds * perSecond; tick++) {
      const aim = kmh === 0 ? 0 : Math.max(0, kmh / 3.6 + foot())
      const most = speed < aim ? 1.8 : 2.4
      speed += Math.max(-most, Math.min(most, (aim - speed) * 0.8)) / perSecond
      if (kmh === 0 && speed < 0.1) speed = 0
      const rate = Math.min(Math.abs(left), (0.35 / Math.max(speed, 3)) * 8 * (1 / perSecond)) * Math.sign(left)
      left -= rate
      heading += rate
      const way = heading + (speed > 3 ? lane() : 0)
      east += (Math.sin(way) * speed) / perSecond
      north += (Math.cos(way) * speed) / perSecond
      motions.push({ east, north, speed })
    }
  })
  return motions
}

const roundTo = (value: number, decimals: number): number => Number(value.toFixed(decimals))

function averageOver(motions: readonly Motion[], seconds: number): Motion[] {
  const half = Math.round((seconds * perSecond) / 2)
  if (half === 0) return [...motions]
  return motions.map((motion, at) => {
    const near = motions.slice(Math.max(0, at - half), at + half + 1)
    const mean = (key: 'east' | 'north') => near.reduce((sum, one) => sum + one[key], 0) / near.length
    return { ...motion, east: mean('east'), north: mean('north') }
  })
}

/** The log of a simulated drive, with times in UTC. The same seed gives the same log. */
export function simulateDrive(stretches: readonly Stretch[], logger: Logger): Track {
  const { seed, rate = 1, decimals = 6, speedDecimals = 1, white = 0.25, drift = 1.5 } = logger
  const { smoothSeconds = 0, staleSeconds = 0, positions = true, speeds = true, wheelLag } = logger
  const chance = seedChance(seed)
  const motions = averageOver(driveStretches(stretches, chance), smoothSeconds)
  const stride = perSecond / rate
  const [eastDrift, northDrift] = [wander(chance, drift, 60, 1 / rate), wander(chance, drift, 60, 1 / rate)]
  const metresOfLongitude = 111_320 * Math.cos((shopPosition[0] * Math.PI) / 180)
  const points: TrackPoint[] = []
  let held: TrackPoint | null = null
  for (let at = 0; at < motions.length; at += stride) {
    const { east, north, speed } = motions[Math.floor(at)] ?? { east: 0, north: 0, speed: 0 }
    const noise = () => white * chance.normal()
    const time = departure + roundTo(at / perSecond, 3)
    const fix: TrackPoint = { time }
    const [offEast, offNorth] = [eastDrift() + noise(), northDrift() + noise()]
    if (positions) {
      fix.latitude = roundTo(shopPosition[0] + (north + offNorth) / 111_100, decimals)
      fix.longitude = roundTo(shopPosition[1] + (east + offEast) / metresOfLongitude, decimals)
    }
    if (speeds)
      fix.speed = roundTo(Math.max(0, speed + 0.08 * chance.normal() * (white > 0 ? 1 : 0)) * 3.6, speedDecimals) / 3.6
    if (wheelLag !== undefined) {
      const late = motions[Math.max(0, Math.floor(at - wheelLag * perSecond))]
      fix.wheelSpeed = Math.round((late?.speed ?? 0) * 3.6 * 1.02) / 3.6
    }
    const due = held === null || staleSeconds === 0 || time - (held.time ?? 0) >= staleSeconds
    if (due) held = fix
    points.push({ ...(held ?? fix), time })
  }
  return trackOf(points)
}

export function trackOf(points: TrackPoint[], rest: Partial<Track> = {}): Track {
  return { clock: 'utc', offset: null, startedLocal: null, points, rejected: 0, header: {}, ...rest }
}

/** A drive log's document. */
export function logDocument(file: string, track: Track, rest: Partial<DocumentFacts> = {}): DocumentFacts {
  const drive = measureDrive(track)
  return makeDocument('drive-log', file, {
    vin: undefined,
    media: 'application/gpx+xml',
    ...(drive ? { drive } : {}),
    evidence: { drive: [makePlace('track')] },
    ...rest,
  })
}

const instant = (seconds: number) => new Date(Math.floor(seconds) * 1000).toISOString().replace('.000Z', 'Z')

/** A packet of one log, `log.gpx`, beside other documents; its drive is an event where its times are absolute. */
export function packetOfTrack(
  track: Track,
  documents: readonly DocumentFacts[] = [],
  parts: PacketParts & { log?: Partial<DocumentFacts> } = {},
): Packet {
  const { log, events = [], ...rest } = parts
  const times = track.points.flatMap(({ time }) => time ?? [])
  const [first, last] = [times[0], times.at(-1)]
  const drive =
    first === undefined || last === undefined || track.clock !== 'utc'
      ? []
      : [makeEvent('drive-1', instant(first), instant(last), { file: 'log.gpx' })]
  return makePacket([...documents, logDocument('log.gpx', track, log)], {
    ...rest,
    events: [...events, ...drive],
    content: { 'log.gpx': { lines: [], pageNumbers: [], track, information: null } },
  })
}

/** A record of a dynamic calibration, `cal.pdf`, with its event. Times are UTC on the day of the drives, `HH:MM:SS`. */
export function dynamicRecord(
  calibration: Partial<CalibrationReading>,
  span: readonly [from: string, to: string] | null = null,
): { document: DocumentFacts; events: PacketEvent[] } {
  const [started, ended] = (span ?? []).map((time) => makeDate(`2026-06-10T${time}Z`))
  const document = makeDocument('calibration', 'cal.pdf', {
    calibrations: [
      {
        sensor: 'front-radar',
        position: null,
        method: 'dynamic',
        outcome: 'completed',
        ...(started ? { started } : {}),
        ...(ended ? { ended } : {}),
        ...calibration,
      },
    ],
    evidence: { 'calibrations.0': [makePlace('record')] },
  })
  const event = makeEvent('calibration-1', started?.earliest ?? null, ended?.latest ?? null, {
    file: 'cal.pdf',
    calibration: 0,
  })
  return { document, events: [event] }
}
