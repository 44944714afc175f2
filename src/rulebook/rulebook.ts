/** What a rulebook is, once read: for every check the worth of its messages, its numbers, and the source of the rule. */
import type { Parameter } from '../checks/check.ts'
import type { ProcedureEntry } from '../checks/procedures.ts'
import type { AlgorithmRule } from '../facts/algorithms.ts'
import type { RetentionRule } from '../facts/retention.ts'

/** What an outcome is worth. `pass` beside an unmet claim means that the rulebook tolerates it. */
export type Severity = 'fail' | 'warn' | 'pass' | 'not-checked'

export interface Rule {
  /** The source of the rule, for people. */
  basis: string
  /** Worth of every unmet and undecided message. */
  severity: Readonly<Record<string, Severity>>
  parameters: Readonly<Record<string, Parameter>>
  /** Why the check is left out; null when it is not. */
  off: string | null
  /** The rulebook that last said something of this rule. */
  from: RuleOrigin
}

export interface RuleOrigin {
  rulebook: string
  version: string
  /** The day from which it applies, `YYYY-MM-DD`. */
  effective: string
}

/** What names a rulebook beyond doubt. */
export interface RulebookIdentity {
  name: string
  version: string
  /** SHA-256 of the file's bytes, hexadecimal. */
  sha256: string
  /** The rulebook whose rules stand where this one is silent. */
  extends?: RulebookIdentity
}

export interface Rulebook extends RulebookIdentity {
  /** The day from which it applies, `YYYY-MM-DD`. */
  effective: string
  cautions: readonly string[]
  /** From the most general to the most particular; see `findProcedure`. */
  procedures: readonly ProcedureEntry[]
  /** What a seal may rest on; see `judgeAlgorithm`. */
  algorithms: readonly AlgorithmRule[]
  /** How long an archive keeps a packet; see `findRetention`. */
  retention: readonly RetentionRule[]
  /** By check id; holds a rule for every check. */
  rules: Readonly<Record<string, Rule>>
}

/** One fault of a rulebook file. Line and column count from 1 and point at the key or value that is wrong. */
export interface RulebookFault {
  line: number
  column: number
  /** Dotted path: `checks.vin-agrees.severity`. */
  path: string
  /** What is wrong, what was expected, and the nearest name where a name is unknown. */
  message: string
}

/** The part of a rulebook that names it, with all that it extends. */
export function identify(rulebook: RulebookIdentity): RulebookIdentity {
  const { name, version, sha256 } = rulebook
  return { name, version, sha256, ...(rulebook.extends ? { extends: identify(rulebook.extends) } : {}) }
}
