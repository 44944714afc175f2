/** A plan to print or to carry on a phone: Markdown with task boxes, or one page of HTML that needs nothing else. */
import type { Plan, PlanStep, Task } from '../plan/plan.ts'
import { escapeMarkdown } from './markdown.ts'
import { escapeHtml } from './markup.ts'
import {
  assignReasons,
  describeJob,
  describeNeed,
  describeTask,
  describeVehicle,
  groupValues,
  noCalibrations,
  type Reasons,
  stepTitles,
} from './plan-words.ts'
import { describePlace, nameSensor } from './words.ts'

/** What both forms say of one task beneath it, line by line. */
function explain(reasons: Reasons | undefined): string[] {
  return [
    ...(reasons?.told ?? []).flatMap(({ check, claim, basis }) => [`Why: ${claim} (${check})`, `Rule: ${basis}`]),
    ...(reasons?.before ?? []).map(({ check, number }) => `Why: as ${number} (${check})`),
  ]
}

function describeRulebook({ rulebook }: Plan): string {
  return `By the rulebook ${rulebook.name} ${rulebook.version} of ${rulebook.effective}.`
}

/** The calibrations and what is not needed, each as a name and a remark. */
function listCalibrations({ calibrations, notNeeded }: Plan): [string, string][] {
  return [
    ...calibrations.map((one): [string, string] => [one.label, describeNeed(one)]),
    ...notNeeded.map(({ sensor, because }): [string, string] => {
      return [nameSensor(sensor, null), `declared as not needed: ${because}`]
    }),
  ]
}

/** GitHub-style task lists (`- [ ]`), which other readers show as plain lists. */
export function renderPlanMarkdown(plan: Plan): string {
  const reasons = assignReasons(plan)
  const item = (text: string, notes: readonly string[]) => [
    `- [ ] ${escapeMarkdown(text)}`,
    ...notes.map((note) => `  - ${escapeMarkdown(note)}`),
  ]
  const step = (one: PlanStep): string[] => [
    '',
    `## ${stepTitles[one.step]}`,
    '',
    ...groupValues(one).flatMap(({ calibrations, values, sources }) => [
      `For the ${escapeMarkdown(calibrations.join('; the '))}:`,
      '',
      ...values.map(({ label, text }) => `- ${label}: ${escapeMarkdown(text)}`),
      `- Rule: ${escapeMarkdown(sources.join(' '))}`,
      '',
    ]),
    ...one.tasks.flatMap((task) => {
      return item(`${task.number}) ${describeTask(task)}`, explain(reasons.get(task.number)))
    }),
  ]
  const calibrations = listCalibrations(plan).map(
    ([name, remark]) => `- ${escapeMarkdown(name)} (${escapeMarkdown(remark)})`,
  )
  const decisions = plan.decisions.flatMap(({ about, text, evidence }) =>
    item(`${about}: ${text}`, evidence.slice(0, 1).map(describePlace)),
  )
  const lines = [
    `# Plan for ${escapeMarkdown(describeJob(plan))}`,
    '',
    escapeMarkdown(describeVehicle(plan.vehicle)),
    '',
    escapeMarkdown(describeRulebook(plan)),
    '',
    '## Calibrations of this job',
    '',
    ...(plan.calibrations.length === 0 ? [noCalibrations, ''] : []),
    ...calibrations,
    ...(decisions.length === 0 ? [] : ['', '## Decide first', '', ...decisions]),
    ...plan.steps.flatMap(step),
    '',
    '## Mind',
    '',
    ...plan.cautions.map((caution) => `- ${escapeMarkdown(caution)}`),
  ]
  return `${lines.filter((line, at) => line !== '' || lines[at - 1] !== '').join('\n')}\n`
}

// Boxes of 44 CSS pixels are the least that a finger hits surely (WCAG 2.2, 2.5.5 Target Size, level AAA).
const style = `
:root { color-scheme: light dark; }
body { font: 1rem/1.45 system-ui, sans-serif; max-width: 44rem; margin: 0 auto; padding: 0.75rem; }
h1 { font-size: 1.4rem; margin: 0.5rem 0; overflow-wrap: anywhere; }
h2 { font-size: 1.15rem; margin: 1.5rem 0 0.5rem; border-bottom: 2px solid; break-after: avoid; }
ol, ul { margin: 0; padding: 0; list-style: none; }
li { border-bottom: 1px solid #8886; padding: 0.35rem 0; overflow-wrap: anywhere; break-inside: avoid; }
label { display: flex; gap: 0.75rem; align-items: center; min-height: 44px; cursor: pointer; }
input { flex: none; width: 44px; height: 44px; margin: 0; }
input:checked + span { text-decoration: line-through; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 0.1rem 0.75rem; margin: 0.25rem 0; }
dd { margin: 0; }
details { font-size: 0.85rem; margin-left: calc(44px + 0.75rem); }
summary { min-height: 2rem; cursor: pointer; }
details p { margin: 0 0 0.3rem; }
@media print { body { max-width: none; font-size: 10pt; } input { width: 5mm; height: 5mm; } label { min-height: 0; }
  details { display: none; } }
`

/**
 * One HTML page, also well-formed as XML, without script or anything from elsewhere; ticks last as long as the page is
 * open.
 */
export function renderPlanPage(plan: Plan): string {
  const reasons = assignReasons(plan)
  const title = `Plan for ${describeJob(plan)}`
  const vehicle = describeVehicle(plan.vehicle)
  const calibrations = listCalibrations(plan).map(
    ([name, remark]) => `<li>${escapeHtml(name)}<br /><small>${escapeHtml(remark)}</small></li>`,
  )
  const decisions = plan.decisions.map(({ about, text, evidence }) =>
    box(`${about}: ${text}`, evidence.slice(0, 1).map(describePlace)),
  )
  const lines = [
    '<!DOCTYPE html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8" />',
    '<meta name="viewport" content="width=device-width, initial-scale=1" />',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'" />`,
    `<title>${escapeHtml(title)}</title>`,
    `<style>${style}</style>`,
    '</head>',
    '<body>',
    `<h1>${escapeHtml(title)}</h1>`,
    ...(vehicle === '' ? [] : [`<p>${escapeHtml(vehicle)}</p>`]),
    `<p>${escapeHtml(describeRulebook(plan))}</p>`,
    '<h2>Calibrations of this job</h2>',
    ...(plan.calibrations.length === 0 ? [`<p>${escapeHtml(noCalibrations)}</p>`] : []),
    ...(calibrations.length === 0 ? [] : ['<ul>', ...calibrations, '</ul>']),
    ...(decisions.length === 0 ? [] : ['<h2>Decide first</h2>', '<ul>', ...decisions, '</ul>']),
    ...plan.steps.flatMap((step) => stepLines(step, (task) => explain(reasons.get(task.number)))),
    '<h2>Mind</h2>',
    '<ul>',
    ...plan.cautions.map((caution) => `<li>${escapeHtml(caution)}</li>`),
    '</ul>',
    '</body>',
    '</html>',
  ]
  return `${lines.join('\n')}\n`
}

function stepLines(step: PlanStep, notesOf: (task: Task) => string[]): string[] {
  const values = groupValues(step).flatMap(({ calibrations, values, sources }) => [
    `<p>For the ${escapeHtml(calibrations.join('; the '))}:</p>`,
    '<dl>',
    ...values.map(({ label, text }) => `<dt>${escapeHtml(label)}</dt><dd>${escapeHtml(text)}</dd>`),
    `<dt>Rule</dt><dd>${escapeHtml(sources.join(' '))}</dd>`,
    '</dl>',
  ])
  const tasks = step.tasks.map((task) => box(`${task.number}. ${describeTask(task)}`, notesOf(task)))
  const list = tasks.length === 0 ? [] : ['<ol>', ...tasks, '</ol>']
  return [`<h2>${escapeHtml(stepTitles[step.step])}</h2>`, ...values, ...list]
}

function box(text: string, notes: readonly string[]): string {
  const label = `<label><input type="checkbox" /><span>${escapeHtml(text)}</span></label>`
  if (notes.length === 0) return `<li>${label}</li>`
  const why = notes.map((note) => `<p>${escapeHtml(note)}</p>`).join('')
  return `<li>${label}<details><summary>Why</summary>${why}</details></li>`
}
