/**
 * Compares data with a JSON Schema (draft 2020-12).
 *
 * Compiling a schema costs more than most packets take to judge, so it waits for the first data, and the settings leave
 * out what a test does once: holding our schemas against the meta-schema, and smoothing the code that Ajv makes.
 */
import { Ajv2020, type AnySchemaObject, type DefinedError } from 'ajv/dist/2020.js'

export type SchemaCheck<Shape> = (
  value: unknown,
) => { value: Shape; errors: null } | { value: null; errors: readonly DefinedError[] }

/**
 * A check of data against `schema`, which finds every error at once. An error carries its data and the schema that it
 * breaks (`data`, `parentSchema`).
 */
export function checkBySchema<Shape>(schema: AnySchemaObject): SchemaCheck<Shape> {
  const compile = () =>
    new Ajv2020({
      allErrors: true,
      verbose: true,
      strictTypes: false,
      validateSchema: false,
      meta: false,
      inlineRefs: false,
      code: { optimize: false },
    }).compile<Shape>(schema)
  let validate: ReturnType<typeof compile> | undefined
  return (value) => {
    validate ??= compile()
    // Ajv's own narrowing is lost on a type that stands for any other.
    if (validate(value)) return { value: value as Shape, errors: null }
    return { value: null, errors: (validate.errors ?? []) as DefinedError[] }
  }
}
