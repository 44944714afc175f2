/** The headings of tables: which lines are headings, on one line or on two, and what each can mean. */
import { type Cell, type Line, makeCell } from '../layout.ts'
import type { Word } from '../reading.ts'
import type { ColumnRole, Vocabulary } from '../vocabulary.ts'

export interface Column {
  /** What the heading can mean; several where the word is used for several things. Empty for an unknown heading. */
  roles: readonly ColumnRole[]
  header: Cell
  /** Number of its group where the same headings repeat side by side. */
  group: number
}

const UNIT_NOTE = /\s*[([][^)\]]{0,24}[)\]]\s*/g

/** What a text can head as a column, plainest first; empty for words that head none. */
export function rolesOf(text: string, vocabulary: Vocabulary, structured = false): ColumnRole[] {
  const bare = text.replace(UNIT_NOTE, ' ').trim()
  const tokens = vocabulary.tokens(bare === '' ? text : bare)
  let entries = vocabulary.columns.whole(tokens)
  // Structured files put the record's name before the field's: "measured name", "component serial".
  for (let from = 1; structured && entries.length === 0 && from < tokens.length; from++)
    entries = vocabulary.columns.whole(tokens.slice(from))
  // "Steuergerät / ECU": a heading in two languages, of which one is known.
  if (entries.length === 0 && BILINGUAL.test(bare))
    entries = bare.split(BILINGUAL).flatMap((half) => vocabulary.columns.whole(vocabulary.tokens(half)))
  return [...entries].sort((a, b) => a.rank - b.rank).map((entry) => entry.key)
}

const BILINGUAL = /\s\/\s/

/** One cell may hold several headings set close together ("NO SYSTEM"): cut it where role phrases meet. */
function cutHeading(cell: Cell, vocabulary: Vocabulary): Cell[] {
  if (rolesOf(cell.text, vocabulary).length > 0 || cell.words.length < 2 || BILINGUAL.test(cell.text)) return [cell]
  const tokens = vocabulary.tokens(cell.text)
  if (vocabulary.labels.whole(tokens).length > 0 || vocabulary.moduleStates.whole(tokens).length > 0) return [cell]
  const parts: Word[][] = []
  let from = 0
  while (from < cell.words.length) {
    let to = cell.words.length
    for (; to > from; to--) {
      const text = cell.words
        .slice(from, to)
        .map((word) => word.text)
        .join(' ')
      if (rolesOf(text, vocabulary).length > 0) break
    }
    if (to === from) return [cell]
    parts.push(cell.words.slice(from, to))
    from = to
  }
  return parts.map((words) => makeCell(words, cell.page, cell.line))
}

const ANSWER = /^(?:ok|nok|pass(?:ed)?|fail(?:ed)?|yes|n\/a|none|[-–✓✔✗✘])$/i

/** "Outcome  Completed" is a label with its value, though both words may head a column. */
function statesOutcome({ cells }: Line, vocabulary: Vocabulary): boolean {
  const [label, value, ...more] = cells.map(({ text }) => vocabulary.tokens(text))
  if (!label || !value || more.length > 0 || vocabulary.outcomes.whole(value).length === 0) return false
  return vocabulary.labels.whole(label).some(({ key }) => key === 'outcome' || key === 'progress')
}

/** "Measured  Lower  Upper  OK": one OK, in a line whose other cells all head columns, at least three of them. */
function isHeadingOk(said: readonly Cell[], { cells }: Line, vocabulary: Vocabulary): boolean {
  const [ok, ...more] = said
  if (!ok || more.length > 0 || !/^ok$/i.test(ok.text) || cells.length < 4) return false
  const structured = ok.words[0]?.cell !== undefined
  const others = cells.filter((cell) => cell !== ok && !/\d/.test(cell.text))
  if (others.length !== cells.length - 1) return false
  const known = others.filter((cell) => rolesOf(cell.text, vocabulary, structured).length > 0).length
  // A structured file may name columns that no vocabulary knows; paper has none to spare.
  return structured ? known >= 3 && known >= 0.6 * others.length : known === others.length
}

/** Headings on two lines, as wide tables have them: "Beginn /" over "Start", "Sensor" over nothing. Null where they are none. */
export function readHeaderOfTwo(
  line: Line,
  next: Line | undefined,
  size: number,
  vocabulary: Vocabulary,
): Column[] | null {
  if (!next || next.page !== line.page || next.furniture !== null || next.gapAbove > 0.5 * size) return null
  if ([...line.cells, ...next.cells].some(({ text, words }) => /\d|:/.test(text) || words[0]?.cell)) return null
  const known = (cells: readonly Cell[]) => cells.filter(({ text }) => rolesOf(text, vocabulary).length > 0).length
  if (next.cells.length < 2 || known(next.cells) < 0.6 * next.cells.length) return null
  const above = next.cells.map((cell) => line.cells.find((other) => overlap(other.box, cell.box) > 0))
  if (above.some((cell) => cell === undefined)) return null
  const columns = line.cells.map((top): Column => {
    const beneath = next.cells.filter((_, i) => above[i] === top)
    const header = beneath.reduce((cell, part) => joinCells(cell, part), top)
    const whole = rolesOf(header.text, vocabulary)
    const parts = [top, ...beneath].flatMap(({ text }) => rolesOf(text.replace(/\s*\/$/, ''), vocabulary))
    return { roles: whole.length > 0 ? whole : [...new Set(parts)], header, group: 0 }
  })
  const told = columns.filter(({ roles }) => roles.length > 0).length
  const breakOff = above.every((cell) => cell?.text.endsWith('/'))
  const tellsMore = told > Math.max(known(line.cells), known(next.cells)) || breakOff
  return tellsMore && told >= 0.6 * columns.length ? columns : null
}

/** The columns of a line of headings, or null when the line is none. */
export function readHeader(line: Line, vocabulary: Vocabulary): Column[] | null {
  if (line.cells.some((cell) => /[:=]$/.test(cell.text) || /:\s/.test(cell.text))) return null
  if (line.cells.length < 2) return null
  // What stands in such a cell is a row's answer, not a heading; "OK" behind nothing but headings is the last of them.
  const said = line.cells.filter((cell) => ANSWER.test(cell.text))
  if (said.length > 0 && !isHeadingOk(said, line, vocabulary)) return null
  // "No" heads a column of numbers where it stands first, and is an answer elsewhere.
  const isNo = (cell: Cell | undefined) => cell !== undefined && /^no$/i.test(cell.text)
  if (line.cells.some(isNo) && !isNo(line.cells[0])) return null
  if (statesOutcome(line, vocabulary)) return null
  const structured = line.cells[0]?.words[0]?.cell !== undefined
  const cells = structured ? line.cells : line.cells.flatMap((cell) => cutHeading(cell, vocabulary))
  const roles = cells.map((header) => rolesOf(header.text, vocabulary, structured))
  const ofModules = roles.some((own) => own.includes('module'))
  const columns = cells.map(
    (header, i): Column => ({
      roles: (roles[i] ?? []).filter((role) => ofModules || role !== 'count'),
      header,
      group: 0,
    }),
  )
  const known = columns.filter((column) => column.roles.length > 0).length
  const digits = cells.filter((cell) => /\d/.test(cell.text)).length
  if (known < 2 || known < 0.6 * cells.length || digits > (line.cells.length <= 3 ? 0 : 1)) return null
  // A heading that stands a second time starts the next group.
  const seen = new Set<string>()
  let group = 0
  for (const column of columns) {
    const key = vocabulary.tokens(column.header.text).join(' ')
    if (!structured && key !== '' && seen.has(`${group} ${key}`)) group++
    seen.add(`${group} ${key}`)
    column.group = group
  }
  return columns
}

/**
 * Headings that leave the first column without one, as tables of values often do ("Before  Specified  After"): where the
 * rows beneath begin with words to the left of all headings, these name the rows.
 */
export function addNameColumn(columns: Column[], rows: readonly Line[]): Column[] {
  const [first] = columns
  if (!first || first.header.words[0]?.cell !== undefined || columns.some(({ roles }) => roles.includes('name')))
    return columns
  if (!isValueHeading(columns)) return columns
  const names = rows
    .filter((row) => row.cells.length > 1 && row.page === first.header.page)
    .flatMap((row) => row.cells.slice(0, 1))
    .filter((cell) => cell.box[2] < first.header.box[0] && /\p{L}{2}/u.test(cell.text))
  const [name] = names
  if (!name) return columns
  const header: Cell = { ...name, text: '', words: [], line: first.header.line }
  return [{ roles: ['name'], header, group: first.group }, ...columns]
}

/** Do the headings tell of measured values: a value, and limits in some form? */
export function isValueHeading(columns: readonly Column[]): boolean {
  const has = (...roles: ColumnRole[]) => columns.some((column) => roles.some((role) => column.roles.includes(role)))
  return has('actual', 'before') && has('least', 'most', 'limits', 'tolerance', 'nominal')
}

/** How far two boxes share their width, in points; negative where they stand apart. */
export const overlap = (a: readonly number[], b: readonly number[]) =>
  Math.min(a[2] ?? 0, b[2] ?? 0) - Math.max(a[0] ?? 0, b[0] ?? 0)

/** Two cells as one, the second behind the first. */
export function joinCells(a: Cell | null, b: Cell): Cell {
  return a ? makeCell([...a.words, ...b.words], a.page, a.line) : b
}
