/** The general rulebook, read once for tests. */
import { readFileSync } from 'node:fs'
import type { Parameter } from '../../src/checks/check.ts'
import { checks } from '../../src/checks/index.ts'
import { formatFaults, parseRulebook } from '../../src/rulebook/parse.ts'
import type { Rulebook } from '../../src/rulebook/rulebook.ts'

export const generalBytes = readFileSync(new URL('../../src/rulebook/general.yaml', import.meta.url))

export const general: Rulebook = load()

function load(): Rulebook {
  const { rulebook, faults } = parseRulebook(generalBytes, checks)
  if (rulebook === null) throw new Error(formatFaults(faults))
  return rulebook
}

/** The parameters that the general rulebook sets for a check. */
export function generalParameters(id: string): Record<string, Parameter> {
  const rule = general.rules[id]
  if (rule === undefined) throw new Error(`the general rulebook has no rule for ${id}`)
  return { ...rule.parameters }
}
