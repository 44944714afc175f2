/** Reads any YAML file that a person writes by its JSON Schema, as rulebooks are read. */
import type { AnySchemaObject } from 'ajv/dist/2020.js'
import { checkBySchema } from '../facts/schema-check.ts'
import type { RulebookFault } from './rulebook.ts'
import { describeError } from './schema.ts'
import { type Path, parseSource } from './source.ts'

export type SettingsResult<Shape> =
  | { settings: Shape; faults: null; faultAt(path: Path, message: string): RulebookFault }
  | { settings: null; faults: RulebookFault[] }

/**
 * Parses YAML 1.2 (UTF-8, no tags, aliases or repeated keys) and holds it to `schema` (draft 2020-12). `whole` is what a
 * fault calls the file. Every fault is given at once, in the order of the text; what no schema can say is the caller's,
 * who places it by `faultAt`.
 */
export function parseSettings<Shape>(bytes: Uint8Array, schema: AnySchemaObject, whole: string): SettingsResult<Shape> {
  const source = parseSource(new TextDecoder('utf-8').decode(bytes))
  if (source.faults.length > 0) return { settings: null, faults: source.faults }
  const { value, errors } = checkBySchema<Shape>(schema)(source.value)
  if (errors === null) return { settings: value, faults: null, faultAt: source.faultAt }
  const faults = errors.map((error) => describeError(source, error, whole))
  return { settings: null, faults: faults.sort((a, b) => a.line - b.line || a.column - b.column) }
}
