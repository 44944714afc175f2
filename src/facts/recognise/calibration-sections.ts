/** Where a record turns from one sensor to the next: the headings that a calibration's fields or table stand under. */
import type { Sensor } from '../document.ts'
import { type Line, placeOfCells } from '../layout.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import { columnOf } from '../page/tables.ts'
import type { Place } from '../reading.ts'
import { chosenOf } from '../ticks.ts'
import type { LabelKey } from '../vocabulary.ts'
import { methodOf, sensorOf } from './sensors.ts'
import { bareName, type Sheet } from './sheet.ts'

/** The part of a record that tells of one sensor: lines `from` (its heading) up to, not including, `to`. */
export interface Section {
  sensor: Sensor
  name: string
  from: number
  to: number
  place: Place
}

const SECTION_KEYS: readonly LabelKey[] = [
  'method',
  'started',
  'ended',
  'outcome',
  'progress',
  'serial',
  'part',
  'procedure',
  'duration',
]

/** A number before a heading, and words that Romance languages set between those that tell. */
const SMALL = /^(?:\d{1,2}[.)]|del?|l[ao]s?|el|al?)$/i

function headingSensor(sheet: Sheet, line: Line): { sensor: Sensor; name: string } | null {
  if (line.cells.length > 3 || /[.!?;]$/.test(line.text)) return null
  const { vocabulary } = sheet
  const cells = line.cells.map((cell) => cell.text)
  // Before a heading may stand its number, behind it a side, a method or a badge that says how it ended.
  if (cells.length > 1 && /^\W*(?:\d{1,2}|[A-Z])?\W*$/.test(cells[0] ?? '')) cells.shift()
  const isBadge = (text: string) =>
    /^(?:(?:front|rear)[ -]?)?(?:left|right|lh|rh)$/i.test(text) ||
    vocabulary.outcomes.whole(vocabulary.tokens(text)).length > 0 ||
    (methodOf(text, vocabulary) !== null && sensorOf(text, vocabulary) === null)
  if (cells.length > 1 && isBadge(cells.at(-1) ?? '')) cells.pop()
  const isSensorLabel = (text: string) =>
    vocabulary.labels.whole(vocabulary.tokens(text.replace(/\s*\d+$/, ''))).some((entry) => entry.key === 'sensor')
  if (cells.length === 2 && isSensorLabel(cells[0] ?? '')) cells.shift()
  let text = cells[0] ?? ''
  if (cells.length !== 1) return null
  let name = text
  const labelled = /^([^:]{2,40}):\s*(.+)$/.exec(text)
  if (labelled?.[1] && labelled[2]) {
    if (isSensorLabel(labelled[1])) {
      text = chosenOf(labelled[2])
      name = text
    }
    // "Front camera: static calibration" names the sensor and how; "Front camera: passed" is no heading.
    else if (methodOf(labelled[2], vocabulary) !== null && sensorOf(labelled[2], vocabulary) === null)
      text = text.replace(/\s*:\s*/, ' ')
    else return null
  }
  const words = text.split(/\s+/).filter((word) => !SMALL.test(word)).length
  if (words > 9 || /\d{4,}|[$€£%]/.test(text)) return null
  const found = sensorOf(text.replace(/\([^)]*\)/g, ' '), vocabulary) ?? sensorOf(text, vocabulary)
  if (!found || found.sensor === 'other') return null
  const tokens = vocabulary.tokens(text.replace(/\([^)]*\)/g, ' '))
  const told = new Set(
    vocabulary.methods.within(tokens).flatMap(({ from, length }) => Array.from({ length }, (_, i) => from + i)),
  )
  const core = tokens.filter(
    (token, at) =>
      !told.has(at) &&
      !/^(?:task|step|item|section|part|job|no|\d+|calibration|calibrate|of|the|sensor|sensors|module|unit|and|left|right|rear|front|lh|rh|static|dynamic|record|report|aiming|aim|adjustment|learning|drive|initialization|result|results|system|control|in|bay|on|road|run|zero|setting|point|target|targets|board|panel|with|mat|mats|reflector|pattern|frame|camera|radar|de|del|la|las|el|los|al|con|y|en)$/.test(
        token,
      ),
  )
  const share = found.share * tokens.length
  if (core.length > share) return null
  return { sensor: found.sensor, name: bareName(name) }
}

/** "Ride height" over "level, unladen" states a condition; over labels of a calibration's facts it is a heading. */
function isCondition({ fields, vocabulary }: Sheet, line: Line): boolean {
  return fields.some(
    ({ line: at, meanings, value }) =>
      at === line.index &&
      meanings.some(({ key, rank }) => key === 'preconditions' && rank < PARTIAL_RANK) &&
      !/:/.test(value) &&
      vocabulary.labels.whole(vocabulary.tokens(value)).length === 0,
  )
}

/** The line of the label that the sensor's name stands beneath, with the labels of what stands beside it. */
function labelAbove({ fields, lines }: Sheet, line: Line): number | null {
  const own = lines.indexOf(line)
  const near = lines.slice(Math.max(0, own - 2), own).map(({ index }) => index)
  const label = fields.find(
    ({ line: at, meanings, value }) =>
      near.includes(at) && meanings.some(({ key }) => key === 'sensor') && value === line.cells[0]?.text,
  )
  return label?.line ?? null
}

/** Facts set above a sensor's labelled name, in one block with it, are its own: "Type: static" over "Target: front camera". */
function startOfBlock({ lines, layout }: Sheet, from: number): number {
  const isFact = (line: Line | undefined) =>
    line !== undefined && line.cells.length === 2 && /:$/.test(line.cells[0]?.text ?? '')
  const at = lines.findIndex((line) => line.index === from)
  let start = at
  while (isFact(lines[start]) && (lines[start]?.gapAbove ?? 0) <= layout.bodySize && isFact(lines[start - 1])) start--
  return at - start <= 4 ? (lines[start]?.index ?? from) : from
}

/** The parts of a record that tell of one sensor each. */
export function findSections(sheet: Sheet): Section[] {
  const tableRows = new Set(
    sheet.tables.filter((table) => table.rows.length > 1).flatMap((table) => table.rows.map((row) => row.line.index)),
  )
  const last = (sheet.lines.at(-1)?.index ?? 0) + 1
  const candidates: Section[] = []
  for (const line of sheet.lines) {
    if (tableRows.has(line.index) || isCondition(sheet, line)) continue
    const found = headingSensor(sheet, line)
    if (found)
      candidates.push({
        ...found,
        from: labelAbove(sheet, line) ?? line.index,
        to: last,
        place: placeOfCells(line.cells),
      })
  }
  // A heading is one only if fields of a calibration follow before the next heading.
  const sections: Section[] = []
  candidates.forEach((section, i) => {
    const to = candidates[i + 1]?.from ?? last
    const rich = sheet.fields.some(
      (field) =>
        field.line >= section.from && field.line < to && field.meanings.some(({ key }) => SECTION_KEYS.includes(key)),
    )
    const tabled = sheet.tables.some(
      (table) =>
        table.header.index > section.from &&
        table.header.index < to &&
        (columnOf(table, 'outcome') >= 0 || columnOf(table, 'actual') >= 0),
    )
    if (rich || tabled) sections.push({ ...section, to })
  })
  const starts = sections.map((section) => (sections.length > 1 ? startOfBlock(sheet, section.from) : section.from))
  return sections.map((section, i) => ({ ...section, from: starts[i] ?? section.from, to: starts[i + 1] ?? last }))
}

/** The first line of the first part that tells of one sensor; infinite where there is none. */
export function firstSectionLine(sheet: Sheet): number {
  return findSections(sheet)[0]?.from ?? Number.POSITIVE_INFINITY
}
