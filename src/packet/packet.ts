/** One vehicle's packet: what its files say and declare, and when things happened. The checks read this and nothing else. */
import type { CalibrationMethod, DocumentFacts, DocumentKind, PhotoSubject, Sensor } from '../facts/document.ts'
import type { DocumentInformation, FilePlace, Place, Track } from '../facts/reading.ts'
import type { SealExamination } from '../facts/seal.ts'
import type { Sight } from '../facts/sight.ts'

/** `packet.yaml`, after validation. Dates are as written: `YYYY-MM-DD`, or local date-time, or RFC 3339. */
export interface Declaration {
  zone?: string
  job?: string
  claim?: string
  vehicle?: { vin?: string; plate?: string; year?: number; make?: string; model?: string }
  loss?: string
  intake?: string
  release?: string
  files?: Record<string, { kind: DocumentKind; shows?: PhotoSubject['shows'] }>
  repairs?: { what: string; started?: string; ended?: string }[]
  calibrations?: { sensor: Sensor; method?: CalibrationMethod; position?: string }[]
  notNeeded?: { sensor: Sensor; because: string }[]
  people?: { name: string; role: string }[]
  shop?: { name?: string; location?: readonly [number, number] }
  /** Dotted path in the file (`repairs.0.ended`) to where it stands; `box` is [column, line, column, line] in characters. */
  places: Record<string, FilePlace>
}

export const eventKinds = [
  'intake',
  'pre-scan',
  'repair',
  'clearing',
  'alignment',
  'calibration',
  'drive',
  'post-scan',
  'release',
  'photo',
] as const
export type EventKind = (typeof eventKinds)[number]

/**
 * Something that happened, with the bounds that the whole packet sets on its start and end (RFC 3339, UTC; null when
 * nothing bounds it). `id` is the kind and a number in the order of files: `calibration-1`.
 */
export interface PacketEvent {
  id: string
  kind: EventKind
  /** The file that reports it; `packet.yaml` when it is only declared. */
  file: string
  /** Index into `documents`, null for a declared event. */
  document: number | null
  /** Index into that document's calibrations. */
  calibration?: number
  /** A short name for people: "front radar, dynamic". */
  label: string
  /** Clock that its times were read on; null when it carries no time. */
  clock: string | null
  earliestStart: string | null
  latestStart: string | null
  earliestEnd: string | null
  latestEnd: string | null
  evidence: FilePlace[]
}

export interface Moment {
  event: string
  edge: 'start' | 'end'
}

/** One thing that a file, the declaration or a stated assumption holds to be true about times. */
export interface Statement {
  id: string
  /** In plain words, with the value: "POST_SCAN.pdf says the scan was taken 2026/10/20 14:07:40 (clock of Dacet 640-A-01977)". */
  text: string
  evidence: FilePlace[]
}

/** One step towards a bound on when something happened. */
export interface ChainStep {
  moment: Moment
  /** Does it bound the moment from below or from above? */
  side: 'no-earlier' | 'no-later'
  statement: Statement
  /** The bound that follows from this step and those before it; null where none of them names a time of the clock. */
  time: string | null
}

/**
 * Why an order is certain or impossible, step by step: the one moment was no earlier than a time, the other no later than
 * another, and the two lie `gapSeconds` apart.
 */
export interface OrderChain {
  /** The moment that is shown to be the later one, and the other. */
  later: Moment
  earlier: Moment
  steps: ChainStep[]
  /** Times are RFC 3339 in UTC, or local without a zone where all rests on clocks that print none. */
  frame: 'utc' | 'local'
  /** How much later at least, in seconds. */
  gapSeconds: number
}

/** Is `before` at or before `after`, in every, some or no reading of the clocks? */
export interface OrderAnswer {
  answer: 'certain' | 'possible' | 'impossible' | 'unknown'
  /** For `impossible`: the smallest set of statements that rules it out; for `certain`: one that proves it; else what would decide it. */
  because: Statement[]
  /** Bounds on `after` minus `before`, in seconds; infinite where nothing bounds them. */
  gapSeconds: readonly [number, number]
  /** For `certain` and `impossible`: how the statements lead there; null where it holds by definition. */
  explain?(): OrderChain | null
}

/** A clock that readings were taken from: an instrument, a phone, a receiver, an office computer. */
export interface Clock {
  id: string
  label: string
  /** `+hh:mm`, an IANA name, or null when unknown. */
  zone: string | null
  /** Bounds on how far it runs ahead of true time, in seconds, as far as the packet tells. */
  aheadSeconds: readonly [number, number]
  /** The offset (seconds ahead) that the packet's pairs of readings imply against another clock, when there are any. */
  implied: { against: string; seconds: readonly [number, number]; because: Statement[] }[]
  files: string[]
}

export interface Timeline {
  /** `unknown` when either moment carries no time at all. */
  order(before: Moment, after: Moment): OrderAnswer
  /** The smallest set of statements that cannot all be true, or null when all can. */
  conflict: Statement[] | null
  clocks: Clock[]
}

/** What a file holds beside its facts, for checks that look at the words, the track or the file itself. */
export interface FileContent {
  /** Lines from top to bottom. */
  lines: readonly Place[]
  /** "page n of m" as printed, by page. */
  pageNumbers: readonly { page: number; number: number; of: number | null; place: Place }[]
  track: Track | null
  information: DocumentInformation | null
  /** Names of the fonts of its words, as the file gives them, sorted; absent where it gives none. */
  fonts?: readonly string[]
  /** What of its text is seen; null or absent for what has no text layer. */
  sight?: Sight | null
}

/** A packet of another job, or an earlier one of this, as an archive knows it. */
export interface OtherPacket {
  /** Its number in the archive. */
  accession: string
  vin: string | null
  /** Letters and digits in capitals. */
  job: string | null
  /** In lower case. */
  shop: string | null
}

/** A file of the packet that stands in another packet too, or something that looks like a copy of it. */
export interface SeenBefore {
  /** `file`: every byte; `text`: the values of a report; `picture`, `track`: what is seen or driven. */
  what: 'file' | 'text' | 'picture' | 'track'
  file: string
  other: OtherPacket
  otherFile: string
  /** The VIN that the other file itself states. */
  otherVin?: string
  /** For text: the share of value pairs that both have, 0 to 1. For pictures: difference in levels of 256. */
  measure?: number
  /** For pictures: whether the cameras say that both were taken in one second. */
  moment?: 'same' | 'another' | 'unknown'
  /** For text: what both state alike and unlike that hardly comes out the same twice, in bits. */
  marks?: { agreeing: number; differing: number; names: readonly string[] }
  /** For tracks: how far the two drives agree. */
  drive?: { correlation: number; metresPerSecond: number; movingSeconds: number; degrees: number | null }
}

/** A technician or an instrument that another packet has at work at the same time. */
export interface SharedTime {
  who: 'technician' | 'instrument'
  /** As printed. */
  name: string
  file: string
  label: string
  other: OtherPacket
  otherFile: string
  otherLabel: string
  /** RFC 3339, UTC: both were certainly at work from and to. */
  from: string
  to: string
  /** Whether both packets name one shop, or show one instrument: two people can have one name. */
  isOnePerson: boolean
}

/** What an archive that was asked tells of a packet. */
export interface ArchiveAnswer {
  /** The name of its log. */
  archive: string
  /** How many other packets it compared this one with. */
  packets: number
  seen: readonly SeenBefore[]
  elsewhere: readonly SharedTime[]
  /** How many stretches of work of this packet were certain enough to be compared. */
  engagements: number
}

export interface Packet {
  name: string
  /** `sha256:` of the sorted list of file hashes and paths. */
  digest: string
  /** The day of review, `YYYY-MM-DD`. */
  reviewed: string
  declaration: Declaration | null
  /** Sorted by path. `kind` is final: scans are told into pre-scan and post-scan where the packet decides it. */
  documents: DocumentFacts[]
  /** By file; a file that could not be opened has none. */
  content: Readonly<Record<string, FileContent>>
  events: PacketEvent[]
  timeline: Timeline
  vehicle: { vin: string | null; year?: number; make?: string; model?: string; plate?: string }
  /** What an examination of the seal or of lists of digests found; null where the packet holds neither. */
  seal: SealExamination | null
  /** Absent where no archive was asked. */
  archive?: ArchiveAnswer
}
