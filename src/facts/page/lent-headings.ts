/** The heading above lends its words to labels that are too general to mean anything alone. */
import type { Cell, Layout } from '../layout.ts'
import type { Vocabulary } from '../vocabulary.ts'
import type { Field } from './fields.ts'
import { PARTIAL_RANK } from './label-spots.ts'
import { fitOf } from './value-shapes.ts'

/** Labels that say nothing without the heading above them: "Odometer", beneath it "reading: 58120". */
const GENERIC =
  /^(?:no|number|id|name|value|reading|type|serial|version|model|ref|reference|code|date|time|at|by|unit|text|state|status|level|percent|total|count|voltage|mileage|software|release|part)$/

/** True for a label whose words say nothing without the heading above: a value beside it may be of any shape. */
export function isGeneral(tokens: readonly string[]): boolean {
  return tokens.length > 0 && (tokens.every((token) => GENERIC.test(token)) || tokens.at(-1) === 'unit')
}

/**
 * A label that is unknown or general takes the heading that it stands under with it: structured files and forms name the
 * thing once and then list what belongs to it.
 */
export function lendHeadings(fields: Field[], layout: Layout, vocabulary: Vocabulary): void {
  for (const field of fields) {
    const tokens = vocabulary.tokens(field.label)
    const general = tokens.length > 0 && tokens.every((token) => GENERIC.test(token))
    if (field.meanings.some(({ rank }) => rank < PARTIAL_RANK) && !general) continue
    const at = layout.lines[field.line]
    if (!at) continue
    const x = field.labelPlace.box[0]
    let heading: Cell | undefined
    for (let i = field.line - 1; i >= Math.max(0, field.line - 12); i--) {
      const line = layout.lines[i]
      const cell = line?.cells.find((other) => Math.abs(other.box[0] - x) < 80)
      if (!line || !cell || line.page !== at.page || line.furniture !== null) break
      if (/[:=]$|:\s/.test(cell.text) || !(cell.bold || cell.box[0] < x - 4)) continue
      heading = cell
      break
    }
    if (!heading || heading.words.length > 4) continue
    const above = vocabulary.tokens(heading.text)
    const known =
      [vocabulary.labels.whole([...above, ...tokens]), vocabulary.labels.whole([...tokens, ...above])].find(
        (entries) => entries.length > 0,
      ) ?? (general ? vocabulary.labels.whole(above) : [])
    const own = tokens.join(' ') === 'unit' ? [] : field.meanings
    const lent = known
      .map(({ key, rank }) => ({ key, rank: rank + 5 }))
      .filter(({ key }) => fitOf(key, field.value) !== null)
    if (lent.length > 0)
      field.meanings = [...lent, ...own.filter(({ key }) => !lent.some((other) => other.key === key))]
  }
}
