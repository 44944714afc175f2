/** The report on one packet, as `witnessmark check PACKET --json` prints it. */
import type { Contrast, DataValue, Group, Party, Supplier } from '../checks/check.ts'
import type { DocumentFacts } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { EventKind, Packet, Statement } from '../packet/packet.ts'
import type { RulebookIdentity, RuleOrigin } from '../rulebook/rulebook.ts'

export type Verdict = 'pass' | 'warn' | 'fail' | 'not-checked'

export interface Finding {
  check: string
  group: Group
  /** The claim tested; it is true when all is well. */
  claim: string
  verdict: Verdict
  /** A message id of the check, or `check-failed` or `check-left-out`, which any check can end in. */
  message: string
  data: Record<string, DataValue>
  /** One sentence in plain words, with the values compared. */
  reason: string
  evidence: FilePlace[]
  /** The source of the rule, and of the procedure's values that it used. */
  basis: string
  /** The rulebook that the rule comes from. Absent where the rulebook holds no rule for the check. */
  rule?: RuleOrigin
  /** What would settle it. Absent from a pass. */
  remedy?: string
  /** Who is exposed if an unmet claim stands. */
  exposes: readonly Party[]
  /** To what, for each of them. */
  exposure: readonly { party: Party; to: string }[]
  /** Who can supply what would settle it, likeliest first. */
  suppliers: readonly Supplier[]
  /** Does settling it need the vehicle, or papers alone? */
  settledWith: 'vehicle' | 'papers'
  /** How the values were come by, a sentence a step. */
  working?: string[]
  /** Readings that tell against each other, to be seen side by side. */
  contrasts?: readonly Contrast[]
  /** The smallest set of statements about time that the outcome rests on. */
  statements?: Statement[]
}

export interface ReportEvent {
  id: string
  kind: EventKind
  label: string
  file: string
  /** RFC 3339, UTC; null where nothing bounds it. */
  earliestStart: string | null
  latestStart: string | null
  earliestEnd: string | null
  latestEnd: string | null
}

/** What one party is exposed to by the findings that fail or warn. */
export interface PartyExposure {
  party: Party
  /** Findings of each verdict. */
  fail: number
  warn: number
  to: { what: string; verdict: Verdict; checks: string[] }[]
}

/** Something to be done or asked for, and the checks that it would settle. */
export interface ActionItem {
  what: string
  from: Supplier[]
  /** Of the worst finding that it would settle. */
  verdict: Verdict
  checks: string[]
}

export interface Report {
  report: 1
  packet: string
  digest: string
  /** `effective`: the day from which it applies, `YYYY-MM-DD`. */
  rulebook: RulebookIdentity & { effective: string }
  /** The day of review, `YYYY-MM-DD`. */
  reviewed: string
  /** `fail` when any finding fails, else `warn` when any warns or none passes, else `pass`. */
  verdict: 'pass' | 'warn' | 'fail'
  vehicle: Packet['vehicle']
  /** Zone to show times to people in: an IANA name or `+hh:mm`; null where the packet tells none. */
  zone: string | null
  documents: DocumentFacts[]
  events: ReportEvent[]
  /** Worst first; then by group, check and evidence. */
  findings: Finding[]
  counts: { pass: number; warn: number; fail: number; notChecked: number }
  /** Parties in a fixed order; without those that nothing exposes. */
  exposure: PartyExposure[]
  /** What would settle the findings: what needs the vehicle before it leaves, and what papers can settle. */
  actions: { vehicle: ActionItem[]; papers: ActionItem[] }
  cautions: readonly string[]
}
