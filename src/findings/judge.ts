/** Weighs what the checks say of a packet by a rulebook: outcomes → findings → verdict. */
import { type Check, type DataValue, groups, type Outcome, parties } from '../checks/check.ts'
import type { ProcedureEntry } from '../checks/procedures.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Packet, PacketEvent } from '../packet/packet.ts'
import { identify, type Rule, type Rulebook } from '../rulebook/rulebook.ts'
import { listActions, summariseExposure } from './liability.ts'
import type { Finding, Report, ReportEvent, Verdict } from './report.ts'
import { composeSentence } from './sentence.ts'

/**
 * Runs every check over the packet and gives the report. Never throws for what a check does: a check that throws, gives
 * no outcome, or gives one that it does not declare ends in a warning that says so.
 *
 * Same packet, checks and rulebook: the same report, key for key.
 */
export function judge(packet: Packet, checks: readonly Check[], rulebook: Rulebook): Report {
  const findings = checks
    .flatMap((check) => judgeCheck(packet, check, rulebook.rules[check.id], rulebook.procedures))
    .sort(compareFindings)
  const count = (verdict: Verdict) => findings.filter((finding) => finding.verdict === verdict).length
  const counts = { pass: count('pass'), warn: count('warn'), fail: count('fail'), notChecked: count('not-checked') }
  return {
    report: 1,
    packet: packet.name,
    digest: packet.digest,
    rulebook: { ...identify(rulebook), effective: rulebook.effective },
    reviewed: packet.reviewed,
    verdict: weighCounts(counts),
    vehicle: packet.vehicle,
    zone: findZone(packet),
    documents: packet.documents,
    events: packet.events.map(reportEvent),
    findings,
    counts,
    exposure: summariseExposure(findings),
    actions: listActions(findings),
    cautions: [...rulebook.cautions],
  }
}

/** The declared zone, else the only one that the packet's clocks tell of; satellite receivers keep UTC wherever they are. */
function findZone({ declaration, timeline }: Packet): string | null {
  if (declaration?.zone !== undefined) return declaration.zone
  const zones = new Set(timeline.clocks.map(({ zone }) => zone).filter((zone) => zone !== null && !isUtc(zone)))
  const [only] = zones
  return zones.size === 1 && only ? only : null
}

const isUtc = (zone: string): boolean => ['UTC', '+00:00'].includes(zone)

function weighCounts({ pass, warn, fail }: Report['counts']): Report['verdict'] {
  if (fail > 0) return 'fail'
  return warn > 0 || pass === 0 ? 'warn' : 'pass'
}

/** The findings of one check, in the order of its outcomes. Errors as for `judge`. */
export function judgeCheck(
  packet: Packet,
  check: Check,
  rule: Rule | undefined,
  procedures: readonly ProcedureEntry[],
): Finding[] {
  if (rule === undefined) return [reportFailure(check, undefined, 'the rulebook holds no rule for it')]
  if (rule.off !== null) return [reportLeftOut(check, rule, rule.off)]
  try {
    const outcomes = check.run(packet, rule.parameters, procedures)
    if (outcomes.length === 0) return [reportFailure(check, rule, 'it gave no outcome')]
    return outcomes.map((outcome) => weighOutcome(check, rule, outcome))
  } catch (error) {
    return [reportFailure(check, rule, error instanceof Error ? error.message : String(error))]
  }
}

function weighOutcome(check: Check, rule: Rule, outcome: Outcome): Finding {
  const declared = Object.hasOwn(check.messages, outcome.message) ? check.messages[outcome.message] : undefined
  if (declared === undefined || declared.state !== outcome.state) {
    throw new Error(`it does not declare the message "${outcome.message}" as ${outcome.state}`)
  }
  const verdict = weighMessage(rule, outcome)
  const finding: Finding = {
    ...nameCheck(check),
    verdict,
    message: outcome.message,
    data: keepFinite(outcome.data),
    reason: composeSentence(declared.text, outcome.data),
    evidence: outcome.evidence,
    basis: [...new Set([rule.basis, ...(outcome.sources ?? [])])].join(' '),
    ...(verdict === 'pass' ? {} : { remedy: check.remedy }),
    ...describeStakes(check, rule),
  }
  if (outcome.working && outcome.working.length > 0)
    finding.working = outcome.working.map(({ text, data }) => composeSentence(text, data))
  if (outcome.contrasts && outcome.contrasts.length > 0) finding.contrasts = outcome.contrasts
  if (outcome.statements && outcome.statements.length > 0) finding.statements = outcome.statements
  return finding
}

// JSON has no infinity: what nothing bounds is null there.
function keepFinite(data: Outcome['data']): Outcome['data'] {
  const entries = Object.entries(data)
  return Object.fromEntries(entries.map(([name, value]) => [name, isUnbounded(value) ? null : value]))
}

function isUnbounded(value: DataValue): boolean {
  return typeof value === 'number' && !Number.isFinite(value)
}

function weighMessage(rule: Rule, outcome: Outcome): Verdict {
  if (outcome.state === 'met') return 'pass'
  const severity = Object.hasOwn(rule.severity, outcome.message) ? rule.severity[outcome.message] : undefined
  if (outcome.state === 'undecided') return severity === 'warn' || severity === 'fail' ? 'warn' : 'not-checked'
  return severity ?? 'warn'
}

function reportFailure(check: Check, rule: Rule | undefined, cause: string): Finding {
  const because = cause.replaceAll(/\s+/g, ' ').trim()
  return {
    ...nameCheck(check),
    verdict: 'warn',
    message: 'check-failed',
    data: { because },
    reason: `The check itself failed, so nothing is known of its claim: ${because}.`,
    evidence: [],
    basis: rule?.basis ?? 'none',
    remedy:
      'Report the fault with the packet or the rulebook that brings it about; until then look at this claim by hand.',
    ...describeStakes(check, rule),
  }
}

function reportLeftOut(check: Check, rule: Rule, because: string): Finding {
  return {
    ...nameCheck(check),
    verdict: 'not-checked',
    message: 'check-left-out',
    data: { because },
    reason: `The rulebook leaves this check out: ${because}.`,
    evidence: [],
    basis: rule?.basis ?? 'none',
    remedy: 'Use a rulebook that holds this check.',
    ...describeStakes(check, rule),
  }
}

function nameCheck({ id, group, claim }: Check) {
  return { check: id, group, claim }
}

/** The rule that was applied, who is exposed to what, and who can settle it. */
function describeStakes(check: Check, rule: Rule | undefined) {
  const { exposes, suppliers, settledWith } = check
  const exposed = parties.filter((party) => exposes[party] !== undefined)
  return {
    ...(rule ? { rule: { ...rule.from } } : {}),
    exposes: exposed,
    exposure: exposed.map((party) => ({ party, to: exposes[party] ?? '' })),
    suppliers: [...suppliers],
    settledWith,
  }
}

function reportEvent(event: PacketEvent): ReportEvent {
  const { id, kind, label, file, earliestStart, latestStart, earliestEnd, latestEnd } = event
  return { id, kind, label, file, earliestStart, latestStart, earliestEnd, latestEnd }
}

const verdictOrder: readonly Verdict[] = ['fail', 'warn', 'not-checked', 'pass']

function compareFindings(a: Finding, b: Finding): number {
  return (
    verdictOrder.indexOf(a.verdict) - verdictOrder.indexOf(b.verdict) ||
    groups.indexOf(a.group) - groups.indexOf(b.group) ||
    compareText(a.check, b.check) ||
    compareText(keyOf(a.evidence), keyOf(b.evidence)) ||
    compareText(a.reason, b.reason)
  )
}

function keyOf(evidence: readonly FilePlace[]): string {
  return evidence.map((place) => `${place.file}\n${String(place.page ?? 0).padStart(6, '0')}\n${place.text}`).join('\n')
}

// Code units, not a locale: the order must not depend on the machine.
function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0
}
