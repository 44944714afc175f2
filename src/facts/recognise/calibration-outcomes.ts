/** How a calibration ended, as a word, a sentence or a line that stands alone says it. */
import type { CalibrationOutcome, CalibrationReading } from '../document.ts'
import { type Line, placeOfCells } from '../layout.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import { columnOf } from '../page/tables.ts'
import { readTicks } from '../ticks.ts'
import type { LabelKey, Vocabulary } from '../vocabulary.ts'
import { type Draft, progressOf } from './calibration-draft.ts'
import { note, type Sheet } from './sheet.ts'

/** The outcome that a text states; null when it states none. Negations and unfinished runs win over "completed". */
export function outcomeOf(printed: string, vocabulary: Vocabulary): CalibrationOutcome | null {
  const text = printed.replace(UNTROUBLED, ' ')
  const tokens = vocabulary.tokens(text)
  const whole = vocabulary.outcomes.whole(tokens)[0]
  // A question, and a form's "Passed / Failed" without a mark, state nothing.
  if (/\?\s*$/.test(text) || /^\W*(?:pass\w*|ok|completed?)\s*\/\s*(?:fail\w*|nok|not \w+|incomplete)\W*$/i.test(text))
    return null
  if (whole) return whole.key
  const { chosen, isForm } = readTicks(text)
  if (isForm) return chosen === '' ? null : outcomeOf(chosen, vocabulary)
  const hits = vocabulary.outcomes.within(tokens)
  const severity: readonly CalibrationOutcome[] = ['aborted', 'failed', 'not-performed', 'completed']
  for (const key of severity) if (hits.some((hit) => hit.length > 1 && hit.entries[0]?.key === key)) return key
  const told = severity.find((key) => hits.some((hit) => hit.entries[0]?.key === key)) ?? null
  return told === 'completed' && DOUBT.test(text) ? null : told
}

/** "Completed without error": no trouble is no failure, and nothing of the outcome by itself. */
const UNTROUBLED =
  /\b(?:without|free (?:of|from)|with no)\s+(?:any\s+)?(?:errors?|faults?|problems?|interruptions?|failures?|incidents?|trouble)\b|\berror[- ]free\b|\bsin\s+(?:error(?:es)?|fallos?|aver[ií]as?|problemas?|interrupci[oó]n(?:es)?|incidencias?)(?!\p{L})/giu

/** Words that take back or put off a "completed" beside them: no outcome is better than a wrong one. */
const DOUBT =
  /\b(?:never|to be|must be|should be|needs? to|until|unless|once|after|when|if|except|errors?|faults?|not|no|partly|partially|nearly|almost|would|lost|half|nunca|sin|hasta|casi|parcialmente|debe|deber[aá]|salvo|excepto|antes de|despu[eé]s de|(?:an)?other|different|(?:2nd|second|wrong) (?:vehicle|car|vin))\b|\?|:\s*(?:n|no)\b/i

/** Whether a line belongs to a table of measured values, where an outcome word judges one value and not the calibration. */
export function isValueTableLine(sheet: Sheet, line: number): boolean {
  return sheet.tables.some(
    (table) =>
      (columnOf(table, 'actual') >= 0 || columnOf(table, 'least') >= 0) &&
      columnOf(table, 'name') >= 0 &&
      (table.header.index === line || table.rows.some((row) => row.line.index === line)),
  )
}

const OBJECTS: readonly LabelKey[] = ['sensor', 'position', 'method', 'serial', 'part', 'procedure']

/** "Calibrated sensor: front camera" asks what was calibrated, and does not say that it was: the label is left out. */
function withoutObject({ fields }: Sheet, line: Line): string {
  const { text } = line
  const label = fields.find(({ line: at, meanings }) => {
    return at === line.index && meanings.some(({ key, rank }) => rank < PARTIAL_RANK && OBJECTS.includes(key))
  })?.label
  return label !== undefined && text.startsWith(label) ? text.slice(label.length).replace(/^\W+/, '') : text
}

/** An outcome that stands alone on its line, as receipts print it: "STOPPED - NOT COMPLETED". */
export function readOutcomeLine(draft: Draft, reading: CalibrationReading, from: number, to: number): void {
  const { sheet } = draft
  const { vocabulary } = sheet
  const lines = sheet.lines.filter((line) => line.index >= from && line.index < to)
  const sentences = lines.flatMap((line) => {
    const told = withoutObject(sheet, line)
    const texts = line.cells.length === 1 ? told.split(/(?<=\p{L}{2}[.!])\s+(?=\p{Lu})/u) : [told]
    return texts.map((text) => ({ line, text }))
  })
  for (const { line, text: said } of sentences.reverse()) {
    if (line.cells.length > 2 || said.split(/\s+/).length > 14 || isValueTableLine(sheet, line.index)) continue
    const tokens = vocabulary.tokens(said)
    const hits = vocabulary.outcomes
      .within(tokens)
      .filter(
        (hit) =>
          hit.entries[0] &&
          !(
            hit.length === 1 &&
            /^(?:ok|good|set|pass|in|error|open|bad|positive|negative|red|green|valid|normal|running|done|reached|stored|learned|adjusted)$/.test(
              tokens[hit.from] ?? '',
            )
          ),
      )
    const covered = hits.reduce((sum, hit) => sum + hit.length, 0)
    const about =
      /calibra|kalibr|learn|aiming|aimed|procedure|adjust|initiali|run|drive|routine|aprendizaje|ajuste|inicializ|procedimiento/i.test(
        said,
      )
    if (covered === 0 || (covered < 0.5 * tokens.length && !about)) continue
    if (/^(?:the |a |an )?(?:driver|second|person|note|before|if|when|keep|do not)\b/i.test(said)) continue
    const outcome = outcomeOf(said, vocabulary)
    if (!outcome) continue
    reading.outcome = outcome
    note(sheet, `calibrations.${draft.at}.outcome`, placeOfCells(line.cells))
    if (reading.progressPercent === undefined) {
      const stated = progressOf(said)
      if (stated !== null) reading.progressPercent = stated
    }
    return
  }
}
