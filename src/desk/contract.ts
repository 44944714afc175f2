/**
 * What the desk's server and its page say to each other: JSON over HTTP under `/api`. Types alone; `openapi.ts` states them
 * for other programs. Times are RFC 3339 UTC, sizes bytes. Errors are `Problem` (RFC 9457) as application/problem+json.
 */
import type { archives, ComparisonView, Report, ReportView, SealView } from '../index.ts'

/** What a person may do; see `server/people.ts`. */
export const roleNames = ['submitter', 'reviewer', 'custodian', 'administrator'] as const
export type Role = (typeof roleNames)[number]

/** GET /api/session. */
export interface SessionView {
  name: string
  roles: Role[]
  /** Whose packets a submitter sees; null for everybody's. */
  shop: string | null
  /** To be sent as the header `x-desk-token` with everything but GET. */
  token: string
  /** Name of the archive's custody log. */
  archive: string
  version: string
  /** Whether there are accounts, so that one can sign out; `false` for a desk on one's own machine. */
  accounts: boolean
  /** What the provider is called by which people can sign in, too; null for none. */
  provider: string | null
  /** Rulebooks that a packet can be weighed by: `general`, `delivery`, `claim`, `hold`. */
  rulebooks: string[]
  /** Whether the desk was given an identity that seals. */
  seals: boolean
  /** Whom the certificate of that identity names; null where there is none. */
  sealer: string | null
}

/** Where a packet stands in the queue. That it is held is not a state of its own: see `holds`. */
export const states = ['new', 'in-review', 'asked', 'settled'] as const
export type State = (typeof states)[number]

export interface Counts {
  fail: number
  warn: number
  pass: number
  notChecked: number
}

/** A packet in the queue. */
export interface QueueRow {
  accession: string
  name: string
  receivedAt: string
  shop: string | null
  job: string | null
  claim: string | null
  /** Of the vehicle, as the last report has it. */
  vin: string | null
  /** Make, model and year, in one line; null where no file says. */
  vehicle: string | null
  /** Of the last report; null for one that was not checked yet. */
  verdict: 'pass' | 'warn' | 'fail' | null
  counts: Counts | null
  /** The worst finding's sentence. */
  worst: string | null
  files: number
  bytes: number
  state: State
  /** Who looks after it. */
  assigned: string | null
  notes: number
  decisions: number
  /** Holds in force. */
  holds: string[]
  follows: string | null
  followedBy: string | null
}

export const queueOrders = ['received', 'verdict', 'name', 'shop', 'state', 'assigned'] as const
export type QueueOrder = (typeof queueOrders)[number]

/** GET /api/packets?words=&verdict=&state=&assigned=&shop=&held=true&order=&down=true&after=&limit= */
export interface QueueQuery {
  /** Every word must stand in the number, name, VIN, job, claim, shop or vehicle. */
  words?: string
  verdict?: 'pass' | 'warn' | 'fail' | 'none'
  state?: State
  /** A name; `nobody` for those that nobody looks after. */
  assigned?: string
  shop?: string
  held?: boolean
  order?: QueueOrder
  down?: boolean
  /** `next` of the page before. */
  after?: string
  /** 1 to 200; 50 when left out. */
  limit?: number
}

export interface QueuePage {
  rows: QueueRow[]
  /** For `after`; null on the last page. */
  next: string | null
  /** How many fit the query in all. */
  total: number
  /** Of all packets: how many are in each state, have each verdict, are held. */
  tallies: { state: Record<State, number>; verdict: Record<'pass' | 'warn' | 'fail' | 'none', number>; held: number }
  /** For the choices of the filters, sorted. */
  shops: string[]
  assigned: string[]
}

/** How far work on a packet has come. */
export interface JobView {
  job: string
  what: 'receive' | 'check'
  /** What was handed over is called so. */
  name: string
  stage: 'waiting' | 'receiving' | 'reading' | 'judging' | 'keeping' | 'done' | 'failed'
  /** While reading: files done, and in all. */
  done: number
  of: number
  /** The file that was read last. */
  file: string | null
  /** As soon as the packet has a number. */
  accession: string | null
  verdict: 'pass' | 'warn' | 'fail' | null
  /** The packet was here already. */
  again: boolean
  problem: Problem | null
}

/** RFC 9457. */
export interface Problem {
  /** `about:blank`, or `urn:witnessmark:problem:CODE`. */
  type: string
  title: string
  status: number
  detail?: string
  /** How to put it right. */
  mend?: string
}

/** POST /api/uploads with `NewUpload`; 201 and `UploadView`. */
export interface NewUpload {
  /** What the packet is called: the name of the folder or zip. */
  name: string
  /** Whether it is a folder or loose files; a zip or a single file else. */
  form: 'folder' | 'file'
  shop?: string
  job?: string
  claim?: string
  /** Who handed it over. */
  from?: string
  /** Which rulebook weighs it. */
  rulebook?: string
  /** Keep it even if some of what stands in it cannot be kept. */
  acceptIncomplete?: boolean
}

/**
 * PUT /api/uploads/UPLOAD/files?path=PATH, the file's bytes as application/octet-stream, once a file: answers `UploadedFile`.
 * Then POST /api/uploads/UPLOAD/done: 202 and `JobView`. DELETE /api/uploads/UPLOAD drops it.
 */
export interface UploadView {
  upload: string
  files: UploadedFile[]
}

export interface UploadedFile {
  path: string
  sha256: string
  bytes: number
}

export interface FileView {
  /** For /api/packets/ACCESSION/files/NUMBER: from 1. */
  number: number
  path: string
  bytes: number
  sha256: string
  media: string
  /** pre-scan, calibration, …, as the report tells it; null where it was not read. */
  kind: string | null
  /** How it can be looked at: drawn by the page from its bytes, as pictures made by the server, as words on a grid. */
  shown: 'pdf' | 'picture' | 'words' | 'nothing'
  pages: number
  /** It holds the track of a drive: /api/packets/ACCESSION/files/NUMBER/track. */
  track: boolean
}

export const rulings = ['accepted', 'contested', 'settled'] as const
export type Ruling = (typeof rulings)[number]

/** What a person decided about a finding. It stands in the custody log, and the finding stays as it is. */
export interface DecisionView {
  /** Entry of the custody log. */
  entry: number
  at: string
  by: string
  ruling: Ruling
  why: string
  check: string
  /** `findingKey` of the finding; of a finding that the last report no longer makes, `current` is false. */
  finding: string
  current: boolean
}

export interface NoteView {
  note: number
  at: string
  by: string
  text: string
}

export interface CustodyView {
  entry: number
  at: string
  by: string
  act: string
  /** In words. */
  text: string
  why: string | null
  authority: string | null
}

/** GET /api/packets/ACCESSION */
export interface PacketView {
  row: QueueRow
  files: FileView[]
  /** The last report; null where it was not checked. Its JSON is that of `witnessmark check --json`. */
  report: Report | null
  /** The same in words: sections, headings, sentences. */
  view: ReportView | null
  /** Of the findings of `report`, in their order: what a decision names. */
  findingKeys: string[]
  decisions: DecisionView[]
  notes: NoteView[]
  custody: CustodyView[]
  /** Submissions of the same job, oldest first, this one too. */
  chain: { accession: string; name: string; receivedAt: string; verdict: QueueRow['verdict'] }[]
  holds: { hold: string; matter: string; by: string; placedAt: string; why: string; authority: string }[]
  /** Bags that were made of it. */
  seals: { entry: number; at: string; act: 'sealed' | 're-stamped'; signer: string | null }[]
  /** Work on it that is going on. */
  job: JobView | null
}

/** GET /api/packets/ACCESSION/files/NUMBER/words: of a file that is shown as words. */
export interface WordsView {
  pages: {
    page: number
    width: number
    height: number
    words: { text: string; box: [number, number, number, number] }[]
  }[]
}

/** GET /api/packets/ACCESSION/files/NUMBER/track */
export interface TrackView {
  clock: 'utc' | 'local' | 'elapsed'
  offset: string | null
  /** At most 5,000, evenly taken: seconds since the first, degrees, and kilometres an hour where known. */
  points: { second: number | null; latitude: number | null; longitude: number | null; kmh: number | null }[]
}

/** POST /api/packets/ACCESSION/decisions; 201 and `DecisionView`. */
export interface NewDecision {
  finding: string
  ruling: Ruling
  why: string
}

/** PATCH /api/packets/ACCESSION; answers `QueueRow`. */
export interface CaseChange {
  state?: State
  /** null: nobody. */
  assigned?: string | null
}

/** POST /api/packets/ACCESSION/notes; 201 and `NoteView`. */
export interface NewNote {
  text: string
}

/** POST /api/packets/ACCESSION/checks; 202 and `JobView`. */
export interface NewCheck {
  rulebook?: string
}

/** POST /api/packets/ACCESSION/seals; 201 and `MadeSeal`. The packet is sealed as it was received, with its last report. */
export interface NewSeal {
  /** For the custody log. */
  why?: string
}

export interface MadeSeal {
  /** Entry of the custody log by which it is sealed. */
  entry: number
  /** The same identity had sealed that report already, by this entry: nothing was done. */
  again: boolean
  /** Why it has no time stamp, where one was to be had; null else. */
  unstamped: string | null
}

/** GET /api/packets/ACCESSION/seals: what each of its seals is worth, examined now. */
export interface SealsView {
  examined: string
  seals: ExaminedSeal[]
}

export interface ExaminedSeal extends SealView {
  /** Entry of the custody log; null for the bag that the packet was handed over in. */
  entry: number | null
  at: string
  signer: string | null
}

/** POST /api/holds; 201 and `{ hold, accessions }`. DELETE /api/holds/HOLD with `Reasons` lifts it: 204. */
export interface NewHold extends Reasons {
  matter: string
  accessions: string[]
}

export interface Reasons {
  why: string
  authority: string
}

/** How somebody is known whom the provider lets in: as it calls them, or by an address that it says it verified. */
export interface OpenIdBinding {
  issuer: string
  /** Null until somebody with that address signed in. */
  subject: string | null
  email: string | null
}

/** GET /api/people; PUT /api/people/NAME with `PersonChange` adds or changes one. For administrators. */
export interface PersonView {
  name: string
  roles: Role[]
  shop: string | null
  /** Nobody signs in with it any more. */
  closed: boolean
  madeAt: string
  /** Whether they have one. */
  password: boolean
  /** Null for somebody who signs in by a password alone. */
  openid: OpenIdBinding | null
  /** Who says their roles and shop; the provider does at each sign-in. */
  rolesBy: 'desk' | 'provider'
}

export interface PersonChange {
  roles?: Role[]
  shop?: string | null
  /** At least 12 characters. */
  password?: string
  closed?: boolean
  /** By which of the two the provider of the desk lets them in; null: not at all. */
  openid?: { subject: string } | { email: string } | null
}

/** GET /api/tokens; POST /api/tokens with `NewToken` answers one with its `secret`, this once; DELETE /api/tokens/TOKEN. */
export interface TokenView {
  token: string
  person: string
  label: string
  madeAt: string
  usedAt: string | null
}

export interface NewToken {
  person: string
  label: string
}

/** GET /api/sign-in: how people sign in besides by name and password. */
export interface SignInWays {
  /** Null where there is no provider. */
  openid: { label: string } | null
}

/** POST /api/session: whoever has an account signs in. */
export interface SignIn {
  name: string
  password: string
}

/** POST /api/session/openid: where the browser goes to sign in. It comes back to /openid/return. */
export interface Elsewhere {
  address: string
}

/** DELETE /api/session. */
export interface SignedOut {
  /** Where the browser goes to end its session with the provider, too; null where there is none to end. */
  address: string | null
}

/** GET /api/comparison?before=ACCESSION&after=ACCESSION: what changed between two submissions, in words. */
export type { ComparisonView }

/** GET /api/audit?by=shop|technician|instrument. */
export interface AuditView extends archives.Audit {
  /** How the figures are come by, and what they are not. */
  notes: readonly string[]
}

/** GET /api/events, text/event-stream. `packet`: something about it changed. `job`: `JobView`. */
export type DeskEvent = { event: 'packet'; data: { accession: string } } | { event: 'job'; data: JobView }
