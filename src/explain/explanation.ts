/** Why a check came to its findings, and what would change them: what `witnessmark explain PACKET CHECK` prints. */
import type { Check, Group, Outcome, Parameter } from '../checks/check.ts'
import type { ProcedureEntry } from '../checks/procedures.ts'
import { judgeCheck } from '../findings/judge.ts'
import type { Finding, Verdict } from '../findings/report.ts'
import type { Packet } from '../packet/packet.ts'
import type { Rulebook, RulebookIdentity, RuleOrigin } from '../rulebook/rulebook.ts'
import { identify } from '../rulebook/rulebook.ts'
import { type FileInfluence, weighFiles } from './file-influence.ts'
import { findTurningPoints, type TurningPoint } from './turning-points.ts'
import { compareVerdicts, worstVerdict } from './verdicts.ts'

export interface Explanation {
  explanation: 1
  packet: string
  digest: string
  reviewed: string
  check: string
  group: Group
  claim: string
  /** The worst of its findings. */
  verdict: Verdict
  rulebook: RulebookIdentity & { effective: string }
  /** Which rulebook last said something of the rule. */
  rule: RuleOrigin
  basis: string
  findings: Finding[]
  /** The rule's values, with their meaning. */
  parameters: { name: string; meaning: string; value: Parameter }[]
  /** Everything that the check can say, and what the rulebook makes of it. */
  messages: { id: string; state: Outcome['state']; verdict: Verdict; text: string; said: boolean }[]
  /** Values at which the worst verdict turns, found by running the check again; the rulebook's own value lies between. */
  turningPoints: TurningPoint[]
  /** Files without which the worst verdict or its reason would be another, found by running the check again without each. */
  files: FileInfluence[]
}

/**
 * Explains one check over one packet. Pure: runs the check again with other values, and over the packet without each of
 * its files. Throws RangeError when the rulebook holds no rule for the check.
 */
export function explainCheck(packet: Packet, check: Check, rulebook: Rulebook): Explanation {
  const rule = rulebook.rules[check.id]
  if (rule === undefined) throw new RangeError(`the rulebook ${rulebook.name} holds no rule for ${check.id}`)
  const run = (
    over: Packet,
    parameters = rule.parameters,
    procedures: readonly ProcedureEntry[] = rulebook.procedures,
  ) => judgeCheck(over, check, { ...rule, parameters }, procedures)
  const findings = run(packet).toSorted((a, b) => compareVerdicts(a.verdict, b.verdict))
  const said = new Set(findings.map(({ message }) => message))
  return {
    explanation: 1,
    packet: packet.name,
    digest: packet.digest,
    reviewed: packet.reviewed,
    check: check.id,
    group: check.group,
    claim: check.claim,
    verdict: worstVerdict(findings),
    rulebook: { ...identify(rulebook), effective: rulebook.effective },
    rule: { ...rule.from },
    basis: rule.basis,
    findings,
    parameters: Object.entries(check.parameters).map(([name, meaning]) => ({
      name,
      meaning,
      value: rule.parameters[name] ?? 'not set',
    })),
    messages: Object.entries(check.messages).map(([id, { state, text }]) => ({
      id,
      state,
      verdict: state === 'met' ? 'pass' : (rule.severity[id] ?? (state === 'undecided' ? 'not-checked' : 'warn')),
      text,
      said: said.has(id),
    })),
    turningPoints: rule.off === null ? findTurningPoints(packet, rule.parameters, rulebook.procedures, run) : [],
    files: rule.off === null ? weighFiles(packet, findings, run) : [],
  }
}
