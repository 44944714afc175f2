/** Typed access to the values that a rulebook sets for a check. A missing or ill-typed value is the rulebook's fault. */
import type { Parameter } from './check.ts'

export type Parameters = Readonly<Record<string, Parameter>>

/** A number; throws where the rulebook sets none. */
export function numberParameter(parameters: Parameters, name: string): number {
  const value = parameters[name]
  if (typeof value === 'number' && Number.isFinite(value)) return value
  throw new TypeError(faultOf(name, 'a number', value))
}

/** A list of words; throws where the rulebook sets none. */
export function listParameter(parameters: Parameters, name: string): readonly string[] {
  const value: unknown = parameters[name]
  if (Array.isArray(value) && value.every((item) => typeof item === 'string')) return value
  throw new TypeError(faultOf(name, 'a list of words', value))
}

/** A map of keys to pairs `[least, most]`; throws where the rulebook sets none. */
export function rangesParameter(parameters: Parameters, name: string): Record<string, readonly [number, number]> {
  const value: unknown = parameters[name]
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) {
    const entries = Object.entries(value)
    if (entries.every(([, pair]) => isPair(pair))) return Object.fromEntries(entries)
  }
  throw new TypeError(faultOf(name, 'a map of keys to [least, most]', value))
}

/** A map of keys to lists of words; throws where the rulebook sets none. */
export function listsParameter(parameters: Parameters, name: string): Record<string, readonly string[]> {
  const value: unknown = parameters[name]
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) {
    const entries = Object.entries(value)
    if (entries.every(([, list]) => Array.isArray(list) && list.every((item) => typeof item === 'string')))
      return Object.fromEntries(entries)
  }
  throw new TypeError(faultOf(name, 'a map of keys to lists of words', value))
}

function isPair(value: unknown): value is readonly [number, number] {
  return Array.isArray(value) && value.length === 2 && value.every((item) => Number.isFinite(item))
}

function faultOf(name: string, wanted: string, value: unknown): string {
  return `parameter "${name}" must be ${wanted}, found ${JSON.stringify(value) ?? 'nothing'}: set it in the rulebook`
}
