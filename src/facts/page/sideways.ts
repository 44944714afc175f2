/**
 * Tables that lie on their side: the headings stand in the first column, and every other column is a record ("System  Engine
 * ABS  Airbag" over "Result  OK  OK  Fault"). They are set upright, so that whoever reads tables reads them too.
 */
import { boxAround, type Cell, type Layout, type Line } from '../layout.ts'
import type { ColumnRole, Vocabulary } from '../vocabulary.ts'
import { rolesOf } from './table-headings.ts'

const LEAST_CELLS = 3

/** The layout with such tables set upright; the same layout where there are none. Cells keep the places of their words. */
export function setUpright(layout: Layout, vocabulary: Vocabulary): Layout {
  const lines: Line[] = []
  let changed = false
  for (let at = 0; at < layout.lines.length; at++) {
    const block = findBlock(layout.lines, at, vocabulary)
    if (block.length > 0) {
      lines.push(...turn(block))
      changed = true
      at += block.length - 1
      continue
    }
    const line = layout.lines[at]
    if (line) lines.push(line)
  }
  const numbered = lines.map((line, index) => ({
    ...line,
    index,
    cells: line.cells.map((cell) => ({ ...cell, line: index })),
  }))
  return changed ? { ...layout, lines: numbered } : layout
}

/** The lines of such a table that begins at `at`; empty where none does. */
function findBlock(lines: readonly Line[], at: number, vocabulary: Vocabulary): Line[] {
  const [first] = lines.slice(at, at + 1)
  if (!first || first.furniture !== null || first.cells.length < LEAST_CELLS) return []
  const block = [first]
  for (const line of lines.slice(at + 1)) {
    const isNext = line.page === first.page && line.furniture === null && line.gapAbove < 1.5 * line.size
    if (!isNext || !isBeneath(line, first) || rolesOf(headingOf(line), vocabulary).length === 0) break
    block.push(line)
  }
  if (block.length < 2 || rolesOf(headingOf(first), vocabulary).length === 0) return []
  const roles = block.map((line) => rolesOf(headingOf(line), vocabulary))
  const values = first.cells.slice(1)
  const isHeading = ({ text }: Cell) => rolesOf(text, vocabulary).length > 0 || /[:=]$/.test(text)
  const isUpright = values.filter(isHeading).length > 0.34 * values.length
  if (isUpright || !tellsSomething(roles) || /\d/.test(headingOf(first))) return []
  return holdsPairs(block, vocabulary) ? [] : block
}

/** "Component  Front camera  Mode  Dynamic" over "Begin  09:10  Finish  09:24": pairs of label and value side by side. */
function holdsPairs(block: readonly Line[], vocabulary: Vocabulary): boolean {
  const isLabel = ({ text }: Cell | { text: '' }) => {
    const tokens = vocabulary.tokens(text)
    if (vocabulary.moduleStates.whole(tokens).length > 0) return false
    const known = vocabulary.labels.whole(tokens).some(({ key }) => key !== 'preconditions')
    return known || rolesOf(text, vocabulary).length > 0
  }
  const columns = (block[0]?.cells ?? []).map((_, i) => block.map(({ cells }) => cells[i] ?? { text: '' as const }))
  return columns.slice(1).some((cells) => cells.filter(isLabel).length > 0.5 * cells.length)
}

const headingOf = ({ cells }: Line): string => cells[0]?.text ?? ''

/** Do the headings make a list of modules with their states, or of values with their limits? */
function tellsSomething(roles: readonly (readonly ColumnRole[])[]): boolean {
  const others = roles.slice(1)
  const has = (...wanted: ColumnRole[]) => others.some((own) => wanted.some((role) => own.includes(role)))
  if (roles[0]?.includes('module') && has('state') && !has('unit', 'least')) return true
  return roles[0]?.includes('name') === true && has('actual') && has('least', 'limits', 'tolerance')
}

/** Does each cell of a line stand beneath that of another: in its column of a delimited file, or at one of its edges? */
function isBeneath(line: Line, first: Line): boolean {
  if (line.cells.length !== first.cells.length) return false
  return line.cells.every((cell, i) => {
    const other = first.cells[i]
    if (!other) return false
    const [own, above] = [cell.words[0]?.cell?.column, other.words[0]?.cell?.column]
    if (own !== undefined) return own === above
    const apart = [cell.box[0] - other.box[0], cell.box[2] - other.box[2]]
    const middles = (cell.box[0] + cell.box[2] - other.box[0] - other.box[2]) / 2
    return [...apart, middles].some((distance) => Math.abs(distance) < 3)
  })
}

/** Columns become lines. They stand on a grid of their own, above where the table stood; their words stay where they are. */
function turn(block: readonly Line[]): Line[] {
  const [first] = block
  if (!first) return []
  const width = 40 + Math.max(...block.flatMap(({ cells }) => cells.map(({ box }) => box[2] - box[0])))
  const height = 1.2 * first.size
  const setAt = (cell: Cell, row: number, column: number): Cell => {
    const [x0, y0] = [column * width, first.box[1] + row * height]
    return { ...cell, box: [x0, y0, x0 + cell.box[2] - cell.box[0], y0 + first.size] }
  }
  return first.cells.map((_, row) => {
    const cells = block.flatMap((line, column) => {
      const cell = line.cells[row]
      return cell ? [setAt(cell, row, column)] : []
    })
    return {
      ...first,
      cells,
      text: cells.map(({ text }) => text).join(' '),
      box: boxAround(cells.map(({ box }) => box)),
      bold: cells.every(({ bold }) => bold),
      gapAbove: row === 0 ? first.gapAbove : height - first.size,
    }
  })
}
