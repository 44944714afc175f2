/**
 * Which clock a time was read on, and what is known of that clock.
 *
 * A reading on a clock is true time plus what the clock runs ahead plus its zone's offset. Every clock is off by something
 * within a bound that an assumption states; two readings of one clock share that error, so their order does not depend on it.
 */
import type { DateReading, DocumentFacts } from '../facts/document.ts'
import { instantBounds, localSpan, minutesOfOffset, secondsOfInstant } from '../facts/instant.ts'

export type ClockKind = 'instrument' | 'logger' | 'receiver' | 'camera' | 'office' | 'declaration'

/** How far each kind of clock may be off, in seconds either way. */
export type ClockErrors = Readonly<Record<ClockKind, number>>

/**
 * Common practice, no source: instruments and office computers are set by hand or by network and drift by seconds a day;
 * phones follow their network; a satellite receiver's log is within its update interval of UTC.
 */
export const usualClockErrors: ClockErrors = {
  instrument: 300,
  logger: 300,
  receiver: 2,
  camera: 60,
  office: 300,
  declaration: 300,
}

export interface PacketClock {
  id: string
  kind: ClockKind
  /** "Dacet 640 A-01977", "the camera Pentaprism 5", "the shop's office". */
  label: string
}

export const declarationClock: PacketClock = {
  id: 'declaration',
  kind: 'declaration',
  label: 'whoever wrote packet.yaml',
}

const officeClock: PacketClock = { id: 'office', kind: 'office', label: "the shop's office" }

function instrumentClock({ instrument, file }: DocumentFacts): PacketClock {
  const { name, serial } = instrument ?? {}
  const label = [name, serial].filter((part) => part !== undefined).join(' ')
  if (serial !== undefined)
    return { id: `instrument:${serial.toUpperCase().replaceAll(/[^A-Z0-9]/g, '')}`, kind: 'instrument', label }
  if (name !== undefined)
    return { id: `instrument:${name.toLowerCase().replaceAll(/\s+/g, ' ').trim()}`, kind: 'instrument', label }
  // Two records that name no instrument may come from two: they share no clock.
  return { id: `instrument:of ${file}`, kind: 'instrument', label: `the unnamed instrument of ${file}` }
}

/** The clock that a picture's camera time was read on. */
export function cameraClock({ photo, file }: DocumentFacts): PacketClock {
  const model = photo?.camera?.trim()
  return model === undefined || model === ''
    ? { id: `camera:of ${file}`, kind: 'camera', label: `the unnamed camera of ${file}` }
    : { id: `camera:${model.toLowerCase().replaceAll(/\s+/g, ' ')}`, kind: 'camera', label: `the camera ${model}` }
}

function driveClock(document: DocumentFacts): PacketClock {
  const offset = document.drive?.started?.offset ?? document.drive?.ended?.offset ?? null
  const isUtc = offset !== null && minutesOfOffset(offset) === 0
  if (isUtc || /gpx|nmea/i.test(document.media))
    return { id: `receiver:of ${document.file}`, kind: 'receiver', label: `the satellite receiver of ${document.file}` }
  if (document.instrument !== undefined) return instrumentClock(document)
  return { id: `logger:of ${document.file}`, kind: 'logger', label: `the logger of ${document.file}` }
}

/** The clock that the times printed in a document were read on. A photo's camera time has its own: `cameraClock`. */
export function documentClock(document: DocumentFacts): PacketClock {
  switch (document.kind) {
    case 'photo':
      return cameraClock(document)
    case 'drive-log':
      return driveClock(document)
    case 'scan':
    case 'pre-scan':
    case 'post-scan':
    case 'calibration':
    case 'alignment':
      return instrumentClock(document)
    case 'estimate':
    case 'invoice':
    case 'statement':
    case 'other':
      return document.instrument?.serial === undefined ? officeClock : instrumentClock(document)
  }
}

/**
 * What a reading says, in milliseconds since 1970-01-01T00:00 of its frame: `utc` where its zone is known, `local` where it
 * is not. `wholeDay`: no time of day was printed, so the clock's error does not matter beside the calendar day.
 */
export interface FaceBounds {
  frame: 'utc' | 'local'
  first: number
  last: number
  wholeDay: boolean
  /** Where the zone comes from; `''` where it is printed. */
  zoneNote: string
}

const dayLength = 10
const milliseconds = (bounds: { earliest: string; latest: string }): { first: number; last: number } => ({
  first: Math.floor(secondsOfInstant(bounds.earliest) * 1000),
  // Bounds are closed in whole seconds: the last second lasts to its end.
  last: Math.floor(secondsOfInstant(bounds.latest)) * 1000 + 999,
})

const hull = (spans: readonly { first: number; last: number }[]): { first: number; last: number } => ({
  first: Math.min(...spans.map((span) => span.first)),
  last: Math.max(...spans.map((span) => span.last)),
})

/** Offsets in use run over 26 hours; bounds that are wider than the printed span by less come from a zone word. */
const zoneSpan = 26 * 3_600_000

/** `zone`: IANA name or offset for a reading that prints none, or null when unknown; `note`: where it comes from. */
export function readFace(reading: DateReading, zone: string | null, note: string): FaceBounds {
  const printed = reading.local === null ? (reading.alternatives ?? []) : [reading.local]
  const locals = printed.filter((local) => localSpan(local) !== null)
  const wholeDay = locals.length > 0 && locals.every((local) => local.length === dayLength)
  const known = reading.offset ?? reading.zone ?? zone
  if (locals.length === 0) return { frame: 'utc', ...milliseconds(reading), wholeDay: false, zoneNote: '' }
  if (known !== null) {
    const span = hull(locals.map((local) => milliseconds(instantBounds(local, known))))
    return { frame: 'utc', ...span, wholeDay, zoneNote: reading.offset === null ? note : '' }
  }
  const spans = locals.flatMap((local) => {
    const span = localSpan(local)
    return span === null ? [] : [{ first: span.first * 1000, last: span.last * 1000 + 999 }]
  })
  const local = hull(spans)
  const bounds = milliseconds(reading)
  if (bounds.last - bounds.first < local.last - local.first + zoneSpan)
    return { frame: 'utc', ...bounds, wholeDay, zoneNote: 'zone word that may mean several' }
  return { frame: 'local', ...local, wholeDay, zoneNote: 'no zone printed' }
}
