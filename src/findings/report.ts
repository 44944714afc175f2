/** The report on one packet, as `witnessmark check PACKET --json` prints it. */
import type { DataValue, Group, Party } from '../checks/check.ts'
import type { DocumentFacts } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { EventKind, Packet, Statement } from '../packet/packet.ts'

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
  /** The source of the rule. */
  basis: string
  /** What would settle it. Absent from a pass. */
  remedy?: string
  exposes: readonly Party[]
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

export interface Report {
  report: 1
  packet: string
  digest: string
  rulebook: {
    name: string
    version: string
    sha256: string
    extends?: { name: string; version: string; sha256: string }
  }
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
  cautions: readonly string[]
}
