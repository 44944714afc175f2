/** Reading a check's parameters. A missing or wrongly typed value throws: the check is then reported as failed, never as passed. */
import type { Parameter } from './check.ts'

type Parameters = Readonly<Record<string, Parameter>>

/** The finite number under `name`; throws a TypeError that names the parameter. */
export function readNumber(parameters: Parameters, name: string): number {
  const value = parameters[name]
  if (typeof value === 'number' && Number.isFinite(value)) return value
  throw new TypeError(`parameter ${name} must be a number, not ${JSON.stringify(value) ?? 'missing'}`)
}

/** The list of strings under `name`; throws a TypeError that names the parameter. */
export function readList(parameters: Parameters, name: string): readonly string[] {
  const value = parameters[name]
  if (Array.isArray(value) && value.every((entry) => typeof entry === 'string')) return value
  throw new TypeError(`parameter ${name} must be a list of words, not ${JSON.stringify(value) ?? 'missing'}`)
}
