/** Shape of a rulebook file, by `schemas/rulebook.schema.json`. */
import type { ErrorObject } from 'ajv/dist/2020.js'
import schema from '../../schemas/rulebook.schema.json' with { type: 'json' }
import type { Parameter } from '../checks/check.ts'
import type { ProcedureEntry } from '../checks/procedures.ts'
import type { AlgorithmRule } from '../facts/algorithms.ts'
import { findNearestName } from '../facts/nearest-name.ts'
import type { RetentionRule } from '../facts/retention.ts'
import { checkBySchema } from '../facts/schema-check.ts'
import type { RulebookFault, Severity } from './rulebook.ts'
import type { Source } from './source.ts'

/** A rulebook file whose shape holds; whether its names do is not known yet. */
export interface RulebookFile {
  rulebook: 1
  name: string
  version: string
  effective: string
  extends?: string
  cautions?: string[]
  procedures?: ProcedureEntry[]
  algorithms?: AlgorithmRule[]
  retention?: RetentionRule[]
  checks?: Record<string, RuleEntry>
}

export interface RuleEntry {
  basis?: string
  severity?: Record<string, Severity>
  parameters?: Record<string, Parameter>
  off?: { because: string }
}

const checkShape = checkBySchema<RulebookFile>(schema)

/** The file when its shape holds, else null; every fault of the shape is added to `faults`. */
export function validateShape(source: Source, faults: RulebookFault[]): RulebookFile | null {
  const { value, errors } = checkShape(source.value)
  for (const error of errors ?? []) faults.push(describeError(source, error, 'the rulebook'))
  return value
}

/** An error of the shape as a fault at its place in the text; `whole`: what the file is called where all of it is meant. */
export function describeError(source: Source, error: ErrorObject, whole: string): RulebookFault {
  const path = error.instancePath
    .split('/')
    .slice(1)
    .map((part) => part.replaceAll('~1', '/').replaceAll('~0', '~'))
  const here = path.length === 0 ? whole : path.join('.')
  switch (error.keyword) {
    case 'additionalProperties': {
      const name = String(error.params.additionalProperty)
      const known = Object.keys((error.parentSchema?.properties as object | undefined) ?? {})
      return source.faultAtKey([...path, name], `${here} has no key "${name}"${suggest(name, known)}`)
    }
    case 'required':
      return source.faultAt(path, `${here} lacks the key "${error.params.missingProperty}"`)
    case 'enum': {
      const allowed = (error.params.allowedValues as unknown[]).map(String)
      const hint = suggest(String(error.data), allowed)
      return source.faultAt(path, `${here} must be one of ${allowed.join(', ')}, not ${show(error.data)}${hint}`)
    }
    case 'const':
      return source.faultAt(path, `${here} must be ${show(error.params.allowedValue)}, not ${show(error.data)}`)
    case 'type':
      return source.faultAt(path, `${here} must be of type ${error.params.type}, not ${show(error.data)}`)
    case 'pattern':
      return source.faultAt(path, `${here} must look like ${error.params.pattern}, not ${show(error.data)}`)
    case 'minItems':
    case 'maxItems':
      return source.faultAt(path, `${here} must hold ${error.params.limit} values, not ${show(error.data)}`)
    default:
      return source.faultAt(path, `${here} ${error.message ?? 'is not valid'}`)
  }
}

function show(value: unknown): string {
  return JSON.stringify(value) ?? 'nothing'
}

/** `; did you mean "x"?`, or the whole list when nothing is near. */
export function suggest(name: string, known: readonly string[]): string {
  const nearest = findNearestName(name, known)
  if (nearest !== null) return `; did you mean "${nearest}"?`
  return known.length === 0 ? '' : `; known: ${[...known].sort().join(', ')}`
}
