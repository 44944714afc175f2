/**
 * Entries of the custody log: one act each, in canonical JSON (RFC 8785), a leaf of the log. The log is what counts; the
 * register is made from it and can be made again.
 */
import canonicalize from 'canonicalize'
import schema from '../../schemas/custody-entry.schema.json' with { type: 'json' }
import { checkBySchema } from '../facts/schema-check.ts'
import { mostEntryBytes } from './log/tiles.ts'

/** Who acts. `certificate`: SHA-256 of the certificate that signed, where the act is signed. */
export interface Person {
  name: string
  certificate?: string
}

interface Act {
  entry: 1
  /** RFC 3339, UTC, whole seconds: the clock of the machine that wrote it. */
  at: string
  by: Person
  /** Why, in the person's own words. */
  why?: string
  /** What allows or orders it: a policy, a court order, a letter. */
  authority?: string
}

export interface RulebookName {
  name: string
  version: string
  sha256: string
}

/** Which packets a hold is for: all that fit every key that is given. */
export interface Scope {
  accessions?: readonly string[]
  vin?: string
  job?: string
  claim?: string
  shop?: string
  /** Received on or after, and on or before: `YYYY-MM-DD`, UTC. */
  receivedFrom?: string
  receivedTo?: string
  /** Words that some text of the packet's facts has, whatever their case. */
  words?: string
}

export interface Begun extends Act {
  act: 'begun'
  /** The name of the log. */
  origin: string
  /** Its verifier key (C2SP signed-note). */
  key: string
}

export interface Received extends Act {
  act: 'received'
  accession: string
  packet: { name: string; form: 'folder' | 'zip' | 'file'; digest: string; bag: boolean }
  /** SHA-256 of the manifest: see `manifest.ts`. */
  manifest: string
  files: number
  bytes: number
  /** Who handed it over. */
  from?: string
  /** As whoever received it stated, or the packet's own packet.yaml. */
  shop?: string
  job?: string
  claim?: string
  /** An earlier packet of the same job that this one continues or replaces. */
  follows?: string
  /** Things that stood in the packet and could not be kept; the manifest names them. */
  notKept?: number
}

export interface Checked extends Act {
  act: 'checked'
  accession: string
  /** SHA-256 of the report, as `witnessmark check --json` prints it. */
  report: string
  /** SHA-256 of the prints by which copies of the packet's files are found: see `seen/prints.ts`. */
  prints?: string
  rulebook: RulebookName
  /** Day of review. */
  reviewed: string
  verdict: 'pass' | 'warn' | 'fail'
  /** Version of witnessmark. */
  program: string
}

/** A bag was made of a packet, or stamped again; it is kept beside it. */
export interface Sealed extends Act {
  act: 'sealed' | 're-stamped'
  accession: string
  /** SHA-256 of the manifest of the bag. */
  manifest: string
  signer?: string
}

export interface Viewed extends Act {
  act: 'viewed'
  accession: string
}

/** What a person thinks of a finding, which stays as it is. `why` is always given. */
export interface Decided extends Act {
  act: 'decided'
  accession: string
  /** SHA-256 of the report that was looked at. */
  report: string
  check: string
  message: string
  /** See `findingKey`. */
  finding: string
  ruling: 'accepted' | 'contested' | 'settled'
}

export interface Exported extends Act {
  act: 'exported'
  accessions: readonly string[]
  to: string
  /** SHA-256 of the list of what was handed over. */
  manifest: string
  /** A derived copy, with personal data taken out. */
  redacted: boolean
}

/** What an earlier entry says was handed over was not. */
export interface ExportFailed extends Act {
  act: 'export-failed'
  accessions: readonly string[]
  /** Index of the entry that says so. */
  export: number
}

export interface Held extends Act {
  act: 'held'
  hold: string
  matter: string
  scope: Scope
}

export interface Released extends Act {
  act: 'released'
  hold: string
}

/** The first of the two people that a disposal needs. */
export interface DisposalProposed extends Act {
  act: 'disposal-proposed'
  accessions: readonly string[]
  /** SHA-256 of the signature (CMS) over what is proposed, kept as an object. */
  signature: string
}

/** The tombstone of one packet: what is gone, by its digests. */
export interface Disposed extends Act {
  act: 'disposed'
  accession: string
  /** The entry that proposed it. */
  proposal: number
  /** The second person's, as above. */
  signature: string
  packet: { name: string; digest: string }
  manifest: string
  /** How many contents were destroyed; others stand in packets that are kept. */
  destroyed: number
  /** SHA-256 over the digests of all contents that were destroyed, a line each, sorted. */
  destroyedDigest: string
  /** The rule by which it was due. */
  schedule: string
}

export interface FixityChecked extends Act {
  act: 'fixity-checked'
  objects: number
  bytes: number
  /** Of contents that are lost or not what they were. */
  damaged: readonly string[]
}

export interface Mended extends Act {
  act: 'mended'
  objects: readonly string[]
  /** Where the good copies came from. */
  from: string
}

export interface BackedUp extends Act {
  act: 'backed-up' | 'restored'
  /** Where to, or where from. */
  place: string
  /** Entries in the log when the copy was made. */
  size: number
}

export interface WitnessNamed extends Act {
  act: 'witness-named'
  /** Verifier key of type 0x04. */
  key: string
}

export interface CustodianNamed extends Act {
  act: 'custodian-named'
  /** SHA-256 of the certificate, which is kept as an object. */
  certificate: string
  /** Its subject. */
  name: string
}

export type Entry =
  | Begun
  | Received
  | Checked
  | Sealed
  | Viewed
  | Decided
  | Exported
  | ExportFailed
  | Held
  | Released
  | DisposalProposed
  | Disposed
  | FixityChecked
  | Mended
  | BackedUp
  | WitnessNamed
  | CustodianNamed

/** Without what every entry is given when it is written. */
type WithoutCommon<One> = One extends Entry ? Omit<One, 'entry' | 'at' | 'by'> : never
export type NewEntry = WithoutCommon<Entry>

/** An entry that stands in the log. */
export interface LoggedEntry {
  index: number
  entry: Entry
}

const check = checkBySchema<Entry>(schema)

/** Throws RangeError for an entry that is too long for the log, TypeError for one that is none. */
export function formatEntry(entry: Entry): Uint8Array {
  const { errors } = check(entry)
  if (errors !== null)
    throw new TypeError(
      `This is no entry: ${errors.map(({ instancePath, message }) => `${instancePath} ${message}`).join('; ')}`,
    )
  const bytes = new Uint8Array(Buffer.from(canonicalize(entry) ?? '', 'utf8'))
  if (bytes.length > mostEntryBytes)
    throw new RangeError(
      `An entry has at most ${mostEntryBytes} bytes, and this one ${bytes.length}: name fewer packets at once`,
    )
  return bytes
}

/** Null for bytes that are no entry in its one form. */
export function parseEntry(bytes: Uint8Array): Entry | null {
  const { value } = check(parseCanonical(bytes))
  return value
}

/** Whether bytes that are no entry to this version are one of a later version: canonical JSON that names its form and an act. */
export function isOfLaterVersion(bytes: Uint8Array): boolean {
  const value = parseCanonical(bytes)
  if (typeof value !== 'object' || value === null || check(value).value !== null) return false
  const { entry, act } = value as { entry?: unknown; act?: unknown }
  return typeof entry === 'number' && typeof act === 'string'
}

/** Null for what is not canonical JSON (RFC 8785). */
function parseCanonical(bytes: Uint8Array): unknown {
  try {
    const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
    const value: unknown = JSON.parse(text)
    return canonicalize(value) === text ? value : null
  } catch {
    return null
  }
}
