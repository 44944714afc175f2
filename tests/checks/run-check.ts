/** Runs a check as `findings` does, and holds it to its own declaration. */
import { expect } from 'vitest'
import type { Check, Outcome, Parameter } from '../../src/checks/check.ts'
import type { ProcedureEntry } from '../../src/checks/procedures.ts'
import type { Packet } from '../../src/packet/packet.ts'

/**
 * The outcomes, after making sure that each is declared with its state, that its sentence finds all its values, that
 * what is met or unmet points at a place, and that no undeclared parameter was read.
 */
export function runCheck(
  check: Check,
  packet: Packet,
  parameters: Record<string, Parameter> = {},
  procedures: readonly ProcedureEntry[] = [],
): Outcome[] {
  const watched = new Proxy(parameters, {
    get(target, name) {
      expect(Object.keys(check.parameters), `${check.id} reads the parameter ${String(name)}`).toContain(name)
      return Reflect.get(target, name)
    },
  })
  const outcomes = check.run(packet, watched, procedures)
  expect(outcomes.length, `${check.id} gives an outcome`).toBeGreaterThan(0)
  for (const { message, state, data, evidence, working = [] } of outcomes) {
    const declared = check.messages[message]
    expect(declared?.state, `${check.id} declares "${message}"`).toBe(state)
    for (const [, name = ''] of declared?.text.matchAll(/\{(\w+)\}/g) ?? [])
      expect(Object.keys(data), `data of ${check.id} "${message}"`).toContain(name)
    for (const step of working) {
      for (const [, name = ''] of step.text.matchAll(/\{(\w+)\}/g))
        expect(Object.keys(step.data), `working of ${check.id} "${message}"`).toContain(name)
    }
    if (state !== 'undecided') expect(evidence.length, `evidence of ${check.id} "${message}"`).toBeGreaterThan(0)
  }
  return outcomes
}

/** The messages alone, in order. */
export function messagesOf(
  check: Check,
  packet: Packet,
  parameters: Record<string, Parameter> = {},
  procedures: readonly ProcedureEntry[] = [],
): string[] {
  return runCheck(check, packet, parameters, procedures).map((outcome) => outcome.message)
}
