/** A check together with what a rulebook makes of it: what `witnessmark rules` prints. */
import type { Check, Group, Outcome, Parameter, Party, PlanLine, Supplier } from '../checks/check.ts'
import type { Verdict } from '../findings/report.ts'
import type { Rulebook } from '../rulebook/rulebook.ts'

export interface RuleDescription {
  check: string
  group: Group
  claim: string
  /** The source of the rule and of its values. */
  basis: string
  remedy: string
  /** Who is exposed, and to what. */
  exposes: Readonly<Partial<Record<Party, string>>>
  suppliers: readonly Supplier[]
  settledWith: 'vehicle' | 'papers'
  /** What to save during the work so that the claim can be shown. */
  collect: readonly PlanLine[]
  /** Why the rulebook leaves the check out, or null. */
  off: string | null
  messages: { id: string; state: Outcome['state']; verdict: Verdict; text: string }[]
  parameters: { name: string; meaning: string; value: Parameter | null }[]
}

/** Puts a check and its rule side by side. A message that the rulebook does not weigh has the worth it would get. */
export function describeRule(check: Check, rulebook: Rulebook): RuleDescription {
  const { id, group, claim, remedy, exposes, suppliers, settledWith, collect } = check
  const rule = rulebook.rules[id]
  return {
    check: id,
    group,
    claim,
    basis: rule?.basis ?? 'none',
    remedy,
    exposes,
    suppliers,
    settledWith,
    collect,
    off: rule?.off ?? null,
    messages: Object.entries(check.messages).map(([message, { state, text }]) => ({
      id: message,
      state,
      verdict: weigh(state, rule?.severity[message]),
      text,
    })),
    parameters: Object.entries(check.parameters).map(([name, meaning]) => ({
      name,
      meaning,
      value: rule?.parameters[name] ?? null,
    })),
  }
}

// As in `findings/judge.ts`: met is a pass, undecided never is one, unmet without a worth asks for a person.
function weigh(state: Outcome['state'], severity: Verdict | undefined): Verdict {
  if (state === 'met') return 'pass'
  if (state === 'undecided') return severity === 'warn' || severity === 'fail' ? 'warn' : 'not-checked'
  return severity ?? 'warn'
}
