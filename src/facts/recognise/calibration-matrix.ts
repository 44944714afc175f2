/** Calibrations in a matrix: a sensor in each row, a method in each column, and where they cross how it ended. */
import type { CalibrationMethod, CalibrationReading } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { outcomeOf } from './calibration-outcomes.ts'
import { methodOf, positionOf, sensorOf } from './sensors.ts'
import { bareName, note, type Sheet } from './sheet.ts'

interface MethodColumn {
  method: CalibrationMethod
  header: Cell
}

/** One reading for each crossing that states an outcome; empty where the page holds no such matrix. */
export function readMatrix(sheet: Sheet): CalibrationReading[] {
  const found: CalibrationReading[] = []
  for (const [index, line] of sheet.lines.entries()) {
    const columns = readMethodColumns(sheet, line)
    if (columns === null) continue
    for (const row of sheet.lines.slice(index + 1)) {
      const crossings = readMatrixRow(sheet, row, columns)
      if (crossings === null) break
      for (const { reading, cells } of crossings) {
        note(sheet, `calibrations.${found.length}`, placeOfCells(cells))
        found.push(reading)
      }
    }
    if (found.length > 0) return found
  }
  return found
}

/** The methods that head the columns of a line: two at least, and nothing else but the heading of the sensors. */
function readMethodColumns({ vocabulary }: Sheet, { cells }: Line): MethodColumn[] | null {
  const columns = cells.flatMap((header): MethodColumn[] => {
    const method = methodOf(header.text, vocabulary)
    return method === null || header.words.length > 3 ? [] : [{ method, header }]
  })
  const rest = cells.length - columns.length
  return new Set(columns.map(({ method }) => method)).size >= 2 && rest <= 1 ? columns : null
}

/** What a row states for each method; null where the row names no sensor, which ends the matrix. */
function readMatrixRow(sheet: Sheet, line: Line, columns: readonly MethodColumn[]) {
  const { vocabulary } = sheet
  const [name, ...answers] = line.cells
  const sensor = name ? sensorOf(name.text, vocabulary)?.sensor : undefined
  const [firstColumn] = columns
  if (!name || !sensor || sensor === 'other' || !firstColumn || name.box[0] >= firstColumn.header.box[0]) return null
  return answers.flatMap((cell) => {
    const outcome = /^[✓✔√☑]$/.test(cell.text) ? 'completed' : outcomeOf(cell.text, vocabulary)
    // "n/a" and a dash say that the method is not asked for, not that it was left out.
    if (outcome === null || outcome === 'unknown' || outcome === 'not-performed') return []
    const reading: CalibrationReading = {
      sensor,
      position: positionOf(name.text, sensor, vocabulary),
      method: nearest(cell, columns).method,
      outcome,
      name: bareName(name.text),
    }
    return [{ reading, cells: [name, cell] }]
  })
}

const middle = ({ box }: Cell): number => (box[0] + box[2]) / 2

function nearest(cell: Cell, columns: readonly MethodColumn[]): MethodColumn {
  const distance = ({ header }: MethodColumn) =>
    Math.min(Math.abs(header.box[0] - cell.box[0]), Math.abs(middle(header) - middle(cell)))
  return columns.reduce((best, column) => (distance(column) < distance(best) ? column : best))
}
