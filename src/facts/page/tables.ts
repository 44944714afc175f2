/**
 * Tables on paper: a line of column headings, then rows whose cells stand beneath them. Columns that repeat side by side
 * ("No System Result  No System Result") give several records a row. Which columns hold what is told by the vocabulary.
 */
import { type Cell, type Layout, type Line, makeCell } from '../layout.ts'
import type { Word } from '../reading.ts'
import type { ColumnRole, Vocabulary } from '../vocabulary.ts'
import {
  addNameColumn,
  type Column,
  isValueHeading,
  joinCells,
  overlap,
  readHeader,
  readHeaderOfTwo,
} from './table-headings.ts'

export type { Column } from './table-headings.ts'

export interface TableRow {
  line: Line
  /** By column; several cells where a cell went on beneath. */
  cells: (Cell | null)[]
  /** Further lines of a row whose cells were wrapped. */
  continued: Line[]
  /** A heading inside the table under which the row stands: "Front left". */
  under?: Cell
}

export interface Table {
  header: Line
  /** The second line of headings that were set on two lines. */
  headerBeneath?: Line
  columns: Column[]
  rows: TableRow[]
}

/** The cell of a row whose column can mean `role`, in column group `group`; null where there is none. */
export function cellOf(table: Table, row: TableRow, role: ColumnRole, group = 0): Cell | null {
  const at = columnOf(table, role, group)
  return at < 0 ? null : (row.cells[at] ?? null)
}

/** The index of the first column that can mean `role`, -1 where there is none. */
export function columnOf(table: Table, role: ColumnRole, group = 0): number {
  return table.columns.findIndex((column) => column.group === group && column.roles.includes(role))
}

/**
 * The index of the column that names modules, -1 where there is none. Of several that can, a plainer heading over more
 * different names: under "Area" beside "Module" stand the groups that modules belong to.
 */
export function moduleColumnOf(table: Table, vocabulary: Vocabulary, group = 0): number {
  const rank = ({ header }: Column) => {
    const entries = vocabulary.columns.whole(vocabulary.tokens(header.text))
    return entries.find(({ key }) => key === 'module')?.rank ?? Number.POSITIVE_INFINITY
  }
  const first = columnOf(table, 'module', group)
  const named = table.columns.flatMap((column, i) =>
    column.group === group && column.roles[0] === 'module' ? [i] : [],
  )
  return named.reduce((best, i) => {
    const [a, b] = [table.columns[best], table.columns[i]]
    return a && b && rank(b) < rank(a) && countNames(table, i) > countNames(table, best) ? i : best
  }, first)
}

/** How many different names stand in the first rows of a column: enough to tell modules from their groups. */
const countNames = ({ rows }: Table, at: number): number =>
  new Set(
    rows
      .slice(0, 40)
      .map(({ cells }) => cells[at]?.text ?? '')
      .filter((text) => /\p{L}{2}/u.test(text)),
  ).size

/** How many times the headings stand side by side. */
export function groupCount(table: Table): number {
  return 1 + Math.max(0, ...table.columns.map((column) => column.group))
}

function nearestColumn(box: readonly number[], anchors: readonly (readonly number[])[]): number {
  let best = 0
  let bestScore = Number.NEGATIVE_INFINITY
  anchors.forEach((anchor, i) => {
    const shared = overlap(box, anchor)
    const edges = Math.min(
      Math.abs((box[0] ?? 0) - (anchor[0] ?? 0)),
      Math.abs((box[2] ?? 0) - (anchor[2] ?? 0)),
      Math.abs((box[0] ?? 0) + (box[2] ?? 0) - (anchor[0] ?? 0) - (anchor[2] ?? 0)) / 2,
    )
    const score = (shared > 0 ? 20 : shared / 4) - edges
    if (score > bestScore) {
      bestScore = score
      best = i
    }
  })
  return best
}

/** Cuts a cell that spans several columns at the words that stand on a column's edge. */
function cutAtColumns(cell: Cell, anchors: readonly (readonly number[])[]): Cell[] {
  const spanned = anchors.filter((anchor) => overlap(cell.box, anchor) > 0)
  if (spanned.length < 2 || cell.words.length < 2) return [cell]
  const parts: Word[][] = [[]]
  cell.words.forEach((word, i) => {
    const before = cell.words[i - 1]
    const startsColumn = anchors.some(
      (anchor) =>
        Math.abs(word.box[0] - (anchor[0] ?? 0)) < 2.5 ||
        (before !== undefined &&
          Math.abs((cell.words.at(-1)?.box[2] ?? 0) - (anchor[2] ?? 0)) < 2.5 &&
          i === cell.words.length - 1 &&
          word.box[0] >= (anchor[0] ?? 0) - 20),
    )
    if (i > 0 && startsColumn && (before === undefined || word.box[0] - before.box[2] > 0.15 * word.size))
      parts.push([word])
    else parts.at(-1)?.push(word)
  })
  return parts.filter((words) => words.length > 0).map((words) => makeCell(words, cell.page, cell.line))
}

/** A cell that ends with a hyphen, comma, slash or open bracket goes on in the line beneath. */
function breaksOff(cell: Cell | null | undefined): boolean {
  return cell !== null && cell !== undefined && /\S[-–,(/]$|\S \/$/.test(cell.text)
}

/**
 * Do all cells go on with those of the row above? Those above break off, all of them or the others beside a cell that is as
 * wide as its column and goes on in lower case.
 */
function wrapsOn(
  cells: readonly (Cell | null)[],
  above: readonly (Cell | null)[],
  columns: readonly Column[],
): boolean {
  const isWide = (i: number) => {
    const [cell, next] = [above[i], columns[i + 1]?.header.box[0]]
    return cell != null && next !== undefined && cell.box[2] - cell.box[0] > 0.7 * (next - cell.box[0])
  }
  return (
    cells.some((cell, i) => cell !== null && breaksOff(above[i])) &&
    cells.every((cell, i) => cell === null || breaksOff(above[i]) || (/^\p{Ll}/u.test(cell.text) && isWide(i)))
  )
}

/** Words of delimited text carry their column: the header's numbers then decide, not geometry. */
function columnByNumber(cell: Cell, columns: readonly Column[]): number {
  const number = cell.words[0]?.cell?.column
  return number === undefined ? -1 : columns.findIndex((column) => column.header.words[0]?.cell?.column === number)
}

function readRow(line: Line, columns: readonly Column[], anchors: (readonly number[])[]): (Cell | null)[] {
  const cells: (Cell | null)[] = columns.map(() => null)
  for (const whole of line.cells) {
    for (const cell of cutAtColumns(whole, anchors)) {
      const numbered = columnByNumber(cell, columns)
      const at = numbered >= 0 ? numbered : nearestColumn(cell.box, anchors)
      cells[at] = joinCells(cells[at] ?? null, cell)
    }
  }
  // "10 Front radar" under "No" and "System": a number column takes the number alone.
  columns.forEach((column, i) => {
    const cell = cells[i]
    const next = columns[i + 1]
    if (!cell || !next || cells[i + 1] || next.group !== column.group || !column.roles.includes('lineNumber')) return
    if (cell.words.length < 2 || !/^\d{1,3}[.)]?$/.test(cell.words[0]?.text ?? '')) return
    cells[i] = makeCell(cell.words.slice(0, 1), cell.page, cell.line)
    cells[i + 1] = makeCell(cell.words.slice(1), cell.page, cell.line)
  })
  return cells
}

/**
 * Finds the tables of a layout, in order. `isLabelLine` says which lines start with a label and its value, where a table
 * ends. Lines before the first heading are nobody's.
 */
export function findTables(layout: Layout, vocabulary: Vocabulary, isLabelLine: (line: Line) => boolean): Table[] {
  const tables: Table[] = []
  let current: Table | null = null
  let anchors: (readonly number[])[] = []
  let lastPage = 0
  let beneathHeader: Line | undefined
  // A table of values may be parted by headings of its own; what stands beneath one goes on in the same columns.
  let parted: { table: Table; under: Cell } | null = null
  for (const [index, line] of layout.lines.entries()) {
    if (line.furniture !== null || line === beneathHeader) continue
    const ofTwo: Column[] | null = readHeaderOfTwo(line, layout.lines[index + 1], layout.bodySize, vocabulary)
    const headings = ofTwo ?? readHeader(line, vocabulary)
    const columns = headings && addNameColumn(headings, layout.lines.slice(index + 1, index + 4))
    const inModules = current !== null && isModuleRow(line, current, anchors, vocabulary)
    if (
      columns &&
      !inModules &&
      !(current && current.rows.length === 0 && current.header.index === line.index - 1 && looksLikeRow(line, current))
    ) {
      beneathHeader = ofTwo ? layout.lines[index + 1] : undefined
      current = { header: line, columns, rows: [], ...(beneathHeader ? { headerBeneath: beneathHeader } : {}) }
      anchors = columns.map((column) => column.header.box)
      tables.push(current)
      lastPage = line.page
      parted = null
      continue
    }
    if (!current && parted && line.page === lastPage && goesOn(line, parted.table)) current = parted.table
    if (!current) {
      if (parted && !isSubheading(line, parted.table)) parted = null
      else if (parted && line.cells[0]) parted.under = line.cells[0]
      continue
    }
    const previous: TableRow | undefined = current.rows.at(-1)
    const samePage = line.page === lastPage
    const gapLimit = 3.2 * Math.max(layout.bodySize, line.size)
    const farBelow = samePage && line.gapAbove > gapLimit && previous !== undefined
    if ((isLabelLine(line) && !inModules) || farBelow || (samePage && isPartedRecord(line, current, layout.bodySize))) {
      current = null
      continue
    }
    // A heading in larger type stands over what comes next, not in this table.
    if (previous && line.size > previous.line.size + 0.8 && line.cells.length < current.columns.length) {
      current = null
      continue
    }
    const cells = readRow(line, current.columns, anchors)
    const filled = cells.filter((cell) => cell !== null).length
    if (
      previous &&
      samePage &&
      line.gapAbove < 0.75 * layout.bodySize &&
      wrapsOn(cells, previous.cells, current.columns)
    ) {
      cells.forEach((cell, i) => {
        if (cell) previous.cells[i] = joinCells(previous.cells[i] ?? null, cell)
      })
      previous.continued.push(line)
      continue
    }
    if (previous && samePage && isSpanningName(cells, current, vocabulary)) {
      previous.continued.push(line)
      continue
    }
    if (filled <= 1 && current.columns.length > 2) {
      // One cell alone: the rest of a wrapped cell when it is close, else a heading or a note, and the table is over.
      const at = cells.findIndex((cell) => cell !== null)
      const cell = cells[at]
      const next = current.columns[at + 1]?.header.box[0]
      const wide =
        previous && at >= 0 && next !== undefined && previous.cells[at]
          ? previous.cells[at].box[2] - previous.cells[at].box[0] > 0.7 * (next - previous.cells[at].box[0])
          : false
      const goesOn = wide || /^[\p{Ll}(]/u.test(cell?.text ?? '')
      const close =
        goesOn && samePage && line.gapAbove < 0.75 * layout.bodySize && line.size <= (previous?.line.size ?? 0) + 0.5
      if (
        previous &&
        cell &&
        close &&
        previous.cells[at] &&
        Math.abs((previous.cells[at]?.box[0] ?? 0) - cell.box[0]) < 3 &&
        !line.bold
      ) {
        previous.continued.push(line)
        previous.cells[at] = joinCells(previous.cells[at] ?? null, cell)
        lastPage = line.page
        continue
      }
      if (previous !== undefined || line.cells.length === 1) {
        const [under] = line.cells
        if (under && isSubheading(line, current)) parted = { table: current, under }
        if (previous !== undefined) current = null
        continue
      }
    }
    current.rows.push({ line, cells, continued: [], ...(parted?.table === current ? { under: parted.under } : {}) })
    lastPage = line.page
  }
  return tables.filter((table) => table.rows.length > 0)
}

/** Behind an empty row of a delimited file, a name with its value under a table of more columns begins something else. */
function isPartedRecord({ cells, gapAbove }: Line, { columns, rows }: Table, bodySize: number): boolean {
  if (rows.length === 0 || gapAbove <= bodySize || cells[0]?.words[0]?.cell === undefined) return false
  return cells.length <= 2 && columns.length > 2
}

/** One cell of words alone, at the left of a table of values: a heading inside it. */
function isSubheading(line: Line, table: Table): boolean {
  const [only, ...more] = line.cells
  if (!only || more.length > 0 || !isValueHeading(table.columns)) return false
  return only.words.length <= 4 && /^\p{L}[\p{L} /-]+$/u.test(only.text)
}

/** Does a line fill the columns of a table as its rows do? */
function goesOn(line: Line, table: Table): boolean {
  return line.cells.length >= Math.min(3, table.columns.length) && line.cells.some((cell) => /\d/.test(cell.text))
}

/** A page that goes on with a table may print its headings anew. */
function repeatsHeadings({ cells }: Line, { columns }: Table): boolean {
  return cells.length === columns.length && cells.every(({ text }, i) => text === columns[i]?.header.text)
}

/** A cell alone at the left of a table of modules whose names stand further right: the group of the rows around it. */
function isSpanningName(cells: readonly (Cell | null)[], table: Table, vocabulary: Vocabulary): boolean {
  const alone = cells.every((cell, i) => (cell !== null) === (i === 0))
  return alone && moduleColumnOf(table, vocabulary) > 0 && table.rows.at(-1)?.cells[0] == null
}

/** "Steering angle  No codes": what elsewhere is a label with its value is a module with its state in a table of modules. */
function isModuleRow(line: Line, table: Table, anchors: (readonly number[])[], vocabulary: Vocabulary): boolean {
  const [module, state] = [moduleColumnOf(table, vocabulary), columnOf(table, 'state')]
  if (module < 0 || state < 0 || module === state || repeatsHeadings(line, table)) return false
  const cells = readRow(line, table.columns, anchors)
  const said = cells[state]
  return (
    cells[module] !== null && said != null && vocabulary.moduleStates.whole(vocabulary.tokens(said.text)).length > 0
  )
}

/** A first row can read like headings ("Item  Result"); it is a row when it holds digits. */
function looksLikeRow(line: Line, table: Table): boolean {
  return line.cells.some((cell) => /\d/.test(cell.text)) && line.cells.length <= table.columns.length
}
