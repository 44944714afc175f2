/** The forms that a comparison can be written in. */
import { type Comparison, formatJson, renderComparison, renderComparisonPage, type SheetOptions } from '../src/index.ts'
import { type FormOptions, findForm } from './report-form.ts'

const forms = ['text', 'json', 'html'] as const
export type ComparisonForm = (typeof forms)[number]

/** "text, json, html" */
export const comparisonFormWords = forms.join(', ')

/** What was asked for, else what the ending of the output tells, else text. Throws UserError. */
export const chooseComparisonForm = (options: FormOptions): ComparisonForm => findForm(options, forms, 'a comparison')

export function renderComparisonForm(form: ComparisonForm, comparison: Comparison, look: SheetOptions): string {
  if (form === 'json') return formatJson(comparison)
  return form === 'html' ? renderComparisonPage(comparison) : renderComparison(comparison, look)
}
