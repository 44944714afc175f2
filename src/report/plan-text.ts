/** A plan as a checklist of text: for the wall, or the screen of a phone. */
import type { Plan, PlanStep } from '../plan/plan.ts'
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
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { count, describePlace, nameSensor } from './words.ts'

const box = '[ ] '

/** The plan in the order of the work, with a box for everything that is to be done. */
export function renderPlan(plan: Plan, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const tasks = plan.steps.flatMap((step) => step.tasks)
  sheet.write([span('Plan', 'strong'), span(` for ${describeJob(plan)}`)])
  const vehicle = describeVehicle(plan.vehicle)
  if (vehicle !== '') sheet.write(vehicle)
  sheet.write(
    `${count(tasks.length, 'thing')} to save, by the rulebook ${plan.rulebook.name} ${plan.rulebook.version} of ${plan.rulebook.effective}.`,
  )
  writeCalibrations(sheet, plan)
  writeDecisions(sheet, plan)
  const reasons = assignReasons(plan)
  for (const step of plan.steps) writeStep(sheet, step, reasons)
  sheet.gap()
  sheet.write([span('Mind', 'strong')])
  for (const caution of plan.cautions) sheet.write(caution, { first: '  - ', rest: '    ' })
  return sheet.toString()
}

function writeCalibrations(sheet: Sheet, { calibrations, notNeeded }: Plan): void {
  sheet.gap()
  sheet.write([span('Calibrations of this job', 'strong')])
  if (calibrations.length === 0) sheet.write(noCalibrations, { first: '  ' })
  for (const calibration of calibrations) {
    sheet.write(calibration.label, { first: '  - ', rest: '    ' })
    sheet.write([span(describeNeed(calibration), 'quiet')], { first: '    ' })
  }
  for (const { sensor, because } of notNeeded)
    sheet.write(`${nameSensor(sensor, null)}: declared as not needed (${because})`, { first: '  - ', rest: '    ' })
}

function writeDecisions(sheet: Sheet, { decisions }: Plan): void {
  if (decisions.length === 0) return
  sheet.gap()
  sheet.write([span('Decide first', 'strong')])
  for (const { about, text, evidence } of decisions) {
    sheet.write([span(about, 'strong'), span(`: ${text}`)], { first: `  ${box}`, rest: '      ' })
    for (const place of evidence.slice(0, 1)) sheet.write([span(describePlace(place), 'quiet')], { first: '      ' })
  }
}

function writeStep(sheet: Sheet, step: PlanStep, reasons: ReadonlyMap<number, Reasons>): void {
  sheet.gap()
  sheet.write([span(stepTitles[step.step], 'strong')])
  writeValues(sheet, step)
  for (const task of step.tasks) {
    sheet.write(`${task.number}. ${describeTask(task)}`, { first: `  ${box}`, rest: '      ' })
    writeReasons(sheet, reasons.get(task.number))
  }
}

function writeValues(sheet: Sheet, step: PlanStep): void {
  const groups = groupValues(step)
  for (const { calibrations, values, sources } of groups) {
    sheet.write(`For the ${calibrations.join('; the ')}:`, { first: '  ' })
    for (const { label, text } of values) sheet.label(label, text, { indent: 4, column: 14 })
    sheet.write([span(`Rule: ${sources.join(' ')}`, 'quiet')], { first: '    ' })
  }
}

function writeReasons(sheet: Sheet, reasons: Reasons | undefined): void {
  for (const { check, claim, basis } of reasons?.told ?? []) {
    sheet.write([span(`Why: ${claim} (${check})`, 'quiet')], { first: '      ' })
    sheet.write([span(`Rule: ${basis}`, 'quiet')], { first: '      ' })
  }
  for (const { check, number } of reasons?.before ?? [])
    sheet.write([span(`Why: as ${number} (${check})`, 'quiet')], { first: '      ' })
}
