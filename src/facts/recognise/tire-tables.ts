/** Tire pressures set out as a table: a row a wheel or an axle, and columns for what was measured and what is wanted. */
import type { Condition } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { readNumber } from '../quantity.ts'
import type { Place } from '../reading.ts'
import type { Sheet } from './sheet.ts'
import { namesWheel, pressureUnitIn, wheelOf } from './tire-pressures.ts'

/** Wheels have other pressures besides: that of the brakes. */
const TIRES = /\b(?:t[iy]res?|inflation|placard)\b/i
const OTHERS = /\bbrakes?|hydraulic|suspension\b/i
const WANTED = /\b(?:placard|specified|specification|nominal|recommended|required|target|door label|set ?point)\b/i
/** A pressure that the work was not done with, or no pressure of a tire at all. */
const APART =
  /\b(?:before|found|initial|arrival|difference|deviation|tolerance|least|most|min\w*|max\w*|temperature|tread|depth|size)\b/i
const FIGURE = /^(\d[\d.,]*)\s?(?:kpa|psig?|bars?)?$/i

const bareLabel = (cell: Cell | undefined): string => cell?.text.replace(/[\s.:=…]+$/, '') ?? ''

const isRow = ({ cells }: Line): boolean =>
  cells.length > 1 && namesWheel(bareLabel(cells[0])) && cells.slice(1).some(({ text }) => FIGURE.test(text))

/** The heading over a cell: of the same column in delimited text, else the one that stands above it. */
function headOver(header: Line | undefined, cell: Cell): string | null {
  const number = cell.words[0]?.cell?.column
  const found = header?.cells.find((head) =>
    number === undefined
      ? Math.min(head.box[2], cell.box[2]) > Math.max(head.box[0], cell.box[0])
      : head.words[0]?.cell?.column === number,
  )
  return found?.text ?? null
}

function readRow(sheet: Sheet, line: Line, header: Line | undefined, around: string): Condition | null {
  const [name, ...more] = line.cells
  const wheel = wheelOf(bareLabel(name))
  const figures = more
    .filter(({ text }) => FIGURE.test(text))
    .map((cell) => ({ cell, head: headOver(header, cell) ?? '' }))
    .filter(({ head }) => !APART.test(head))
  const wanted = figures.filter(({ head }) => WANTED.test(head))
  const measured = figures.filter(({ head }) => !WANTED.test(head))
  const [only] = measured
  if (wheel === null || only === undefined || measured.length > 1 || wanted.length > 1) return null
  const unit = pressureUnitIn([line.text, ...figures.map(({ head }) => head)].join(' ')) ?? pressureUnitIn(around)
  if (unit === null) return null
  const numberOf = (cell: Cell | undefined): number | null => {
    const value = readNumber(FIGURE.exec(cell?.text ?? '')?.[1] ?? '', { decimal: sheet.decimal })
    return value !== null && value >= unit.least && value <= unit.most ? value : null
  }
  const value = numberOf(only.cell)
  if (value === null) return null
  const condition: Condition = { about: 'tire-pressure', text: line.text, value, unit: unit.unit, wheel }
  const asked = numberOf(wanted[0]?.cell)
  if (asked !== null) condition.wanted = asked
  return condition
}

/** Every wheel's pressure from rows that name a wheel, beneath words that speak of tires. */
export function readTireTables(sheet: Sheet): { condition: Condition; places: Place[] }[] {
  const found: { condition: Condition; places: Place[] }[] = []
  let above: Line[] = []
  for (const line of sheet.lines) {
    if (!isRow(line)) {
      above = [...above.slice(-1), line]
      continue
    }
    const around = [...above, line].map(({ text }) => text).join(' ')
    if (!TIRES.test(around) || OTHERS.test(around)) continue
    const condition = readRow(sheet, line, above.at(-1), around)
    if (condition) found.push({ condition, places: [placeOfCells(line.cells)] })
  }
  return found
}
