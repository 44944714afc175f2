/** The schemas of the output contract, compiled. */
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js'
import comparisonSchema from '../../schemas/comparison.schema.json' with { type: 'json' }
import documentSchema from '../../schemas/document.schema.json' with { type: 'json' }
import explanationSchema from '../../schemas/explanation.schema.json' with { type: 'json' }
import planSchema from '../../schemas/plan.schema.json' with { type: 'json' }
import reportSchema from '../../schemas/report.schema.json' with { type: 'json' }

const ajv = new Ajv2020({ allErrors: true })

export const validateDocument: ValidateFunction = ajv.compile(documentSchema)
export const validateReport: ValidateFunction = ajv.compile(reportSchema)
export const validateExplanation: ValidateFunction = ajv.compile(explanationSchema)
export const validateComparison: ValidateFunction = ajv.compile(comparisonSchema)
export const validatePlan: ValidateFunction = ajv.compile(planSchema)
export { documentSchema, reportSchema }

/** What the schema says against a value after it went through JSON; empty when it is valid. */
export function listErrors(validate: ValidateFunction, value: unknown): string[] {
  validate(JSON.parse(JSON.stringify(value)))
  return (validate.errors ?? []).map((error) => `${error.instancePath} ${error.message}`)
}
