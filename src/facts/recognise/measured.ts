/**
 * Measured values with the limits printed beside them: rows of a table, one line of text, or name, value and limits one
 * beneath the other. A number without limits is no measured value here.
 */
import type { MeasuredValue } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { columnOf, groupCount, type Table, type TableRow } from '../page/tables.ts'
import { type Limits, readLimits, readQuantity } from '../quantity.ts'
import type { Place } from '../reading.ts'
import type { ColumnRole, LabelKey, Vocabulary } from '../vocabulary.ts'
import { findSaidValues } from './measured-sentences.ts'
import { areOfOneUnit, unitName } from './measured-units.ts'
import { isQuantity, LIMIT_WORDS, limitsBeneath, limitsOfCells, pairOfCells, round } from './nearby-limits.ts'
import { bareName, isNaming, type Sheet } from './sheet.ts'

export interface MeasuredFound {
  value: MeasuredValue
  place: Place
  line: number
}

/** What a page says under a label of its own, and does not measure. */
const NOT_MEASURED: ReadonlySet<LabelKey> = new Set<LabelKey>([
  'date',
  'ended',
  'expiry',
  'instrumentName',
  'instrumentSerial',
  'instrumentSoftware',
  'lossDate',
  'odometer',
  'otherDate',
  'part',
  'progress',
  'serial',
  'started',
  'time',
  'year',
])

/** What the record itself says of a value: in or out of its limits. */
export function statedOf(text: string, vocabulary: Vocabulary): 'ok' | 'out' | null {
  const tokens = vocabulary.tokens(text)
  const whole = vocabulary.valueChecks.whole(tokens)[0]
  if (whole) return whole.key
  // Short words ("no", "in") count only where they are the whole statement.
  const hit = vocabulary.valueChecks
    .within(tokens)
    .find(({ entries, length }) => length > 1 || (entries[0]?.key === 'ok' && tokens.length <= 3))
  return hit?.entries[0]?.key ?? null
}

function measured(
  name: string,
  quantity: { value: number; unit: string | null },
  limits: Limits | null,
  stated: 'ok' | 'out' | null,
  unit?: string | null,
): MeasuredValue {
  const value: MeasuredValue = {
    name: bareName(name),
    value: quantity.value,
    unit: unitName(quantity.unit ?? unit ?? limits?.unit),
    stated,
  }
  if (limits !== null && !areOfOneUnit(quantity.unit, limits.unit)) return value
  if (limits?.least !== undefined) value.least = limits.least
  if (limits?.most !== undefined) value.most = limits.most
  return value
}

/** A value that a tolerance in another column lies around: "Required 2500 mm", "Nominal 0". */
const isMiddle = (roles: readonly ColumnRole[], text: string) =>
  (roles.includes('nominal') || roles.includes('limits')) && isQuantity(text)

function fromRow(
  sheet: Sheet,
  table: Table,
  row: TableRow,
  group: number,
  wanted: readonly ('actual' | 'before')[],
): MeasuredFound | null {
  const inGroup = table.columns.map((column, i) => ({ ...column, i })).filter((column) => column.group === group)
  const style = { decimal: sheet.decimal }
  const limitColumns = new Set<number>()
  const one = (role: 'least' | 'most' | 'limits' | 'nominal' | 'tolerance' | 'unit' | 'check') => {
    const column = inGroup.find(
      ({ roles, i }) =>
        roles.includes(role) &&
        row.cells[i] &&
        !limitColumns.has(i) &&
        (role === 'check' || role === 'unit' || !wanted.some((want) => roles[0] === want)),
    )
    return column
  }
  let limits: Limits | null = null
  const least = one('least')
  const most = one('most')
  const leastValue = least ? readQuantity(row.cells[least.i]?.text ?? '', style) : null
  const mostValue = most && most !== least ? readQuantity(row.cells[most.i]?.text ?? '', style) : null
  if (leastValue || mostValue) {
    limits = { unit: leastValue?.unit ?? mostValue?.unit ?? null, text: '', start: 0, end: 0 }
    if (leastValue && least) {
      limits.least = leastValue.value
      limitColumns.add(least.i)
    }
    if (mostValue && most) {
      limits.most = mostValue.value
      limitColumns.add(most.i)
    }
  }
  if (!limits) {
    for (const column of inGroup) {
      const text = row.cells[column.i]?.text
      if (!text || !['limits', 'tolerance', 'nominal', 'least'].some((role) => column.roles.includes(role as 'limits')))
        continue
      // A tolerance with the nominal value in a column of its own lies around that, not around zero.
      const aside = inGroup.some(({ roles, i }) => i !== column.i && isMiddle(roles, row.cells[i]?.text ?? ''))
      if (aside && column.roles.includes('tolerance') && /^\s*(?:±|\+\s*\/\s*[-−–])/.test(text)) continue
      const found = readLimits(text, style)
      if (found) {
        limits = found
        limitColumns.add(column.i)
        break
      }
    }
  }
  if (!limits || limits.least === undefined || limits.most === undefined) {
    // Nominal in one column, plus-minus in another.
    const nominal =
      inGroup.find(({ roles, i }) => roles.includes('nominal') && row.cells[i]) ??
      inGroup.find(({ roles, i }) => isMiddle(roles, row.cells[i]?.text ?? ''))
    const tolerance = inGroup.find(({ roles, i }) => roles.includes('tolerance') && row.cells[i] && i !== nominal?.i)
    const middle = nominal && readQuantity(row.cells[nominal.i]?.text ?? '', style)
    const spread = tolerance && readQuantity((row.cells[tolerance.i]?.text ?? '').replace(/^[±+/\-−\s]+/, ''), style)
    if (middle && spread && nominal && tolerance) {
      limits = {
        least: round(middle.value - spread.value),
        most: round(middle.value + spread.value),
        unit: middle.unit,
        text: '',
        start: 0,
        end: 0,
      }
      limitColumns.add(nominal.i)
      limitColumns.add(tolerance.i)
    }
  }
  const nameColumn =
    inGroup.find(({ roles, i }) => roles.includes('name') && isNaming(row.cells[i] ?? undefined)) ??
    inGroup.find(({ i }) => isNaming(row.cells[i] ?? undefined))
  if (!nameColumn || !limits) return null
  // A value before the adjustment stands in only where no column is for the one after it.
  const isFinal = wanted.includes('actual') && inGroup.some(({ roles }) => roles.includes('actual'))
  const final = isFinal ? wanted.filter((want) => want === 'actual') : wanted
  const actual = final
    .flatMap((want) => inGroup.filter(({ roles }) => roles.includes(want)))
    .find(({ i }) => i !== nameColumn.i && !limitColumns.has(i) && row.cells[i] && isQuantity(row.cells[i]?.text ?? ''))
  const nameCell = row.cells[nameColumn.i]
  const cell = actual ? row.cells[actual.i] : null
  const quantity = cell ? readQuantity(cell.text, style) : null
  if (!nameCell || !cell || !quantity) return null
  const unitColumn = one('unit')
  const headerUnit =
    /[([]\s*([^)\]]{1,8})\s*[)\]]/.exec(`${actual?.header.text ?? ''} ${nameColumn.header.text}`)?.[1] ?? null
  const unit = (unitColumn && row.cells[unitColumn.i]?.text) ?? headerUnit
  const check = inGroup.find(
    ({ roles, i }) =>
      (roles.includes('check') || roles.includes('state')) &&
      i !== actual?.i &&
      i !== nameColumn.i &&
      !limitColumns.has(i) &&
      row.cells[i],
  )
  const stated = check ? statedOf(row.cells[check.i]?.text ?? '', sheet.vocabulary) : statedIn(sheet, row.line, limits)
  return {
    value: measured(row.under ? `${row.under.text} ${nameCell.text}` : nameCell.text, quantity, limits, stated, unit),
    place: placeOfCells(row.cells.filter((other): other is Cell => other !== null)),
    line: row.line.index,
  }
}

/** The measured value of one row of a table that also says other things; null when the row has none. */
export function readMeasuredRow(sheet: Sheet, table: Table, row: TableRow): MeasuredFound | null {
  const named = table.columns.some((column) => column.roles.includes('name') && !column.roles.includes('sensor'))
  if (!named || !isValueTable(table, 0)) return null
  const columns = nearestValue(table, row)
  return fromRow(sheet, { ...table, columns }, row, 0, ['actual'])
}

/**
 * The columns of a row that tells of a calibration as well as of a value, of which only the number nearest to the value's name,
 * rather behind it, is taken for it: "Learned 100 %" tells how far the calibration came, and "Data set 2025-06" is no measurement.
 */
function nearestValue({ columns }: Table, { cells }: TableRow): Table['columns'] {
  const name = columns.findIndex(({ roles }, i) => roles.includes('name') && isNaming(cells[i] ?? undefined))
  const [nearest] = columns
    .flatMap(({ roles }, i) =>
      i !== name && roles.includes('actual') && !roles.includes('progress') && isQuantity(cells[i]?.text ?? '')
        ? [i]
        : [],
    )
    .sort((a, b) => Math.abs(a - name) - Math.abs(b - name) || b - a)
  return columns.map((column, i) =>
    i === nearest || i === name ? column : { ...column, roles: column.roles.filter((role) => role !== 'actual') },
  )
}

function statedIn(sheet: Sheet, line: Line, limits: Limits): 'ok' | 'out' | null {
  for (const cell of [...line.cells].reverse()) {
    if (readQuantity(cell.text) && cell.text.includes(limits.text) && limits.text !== '') break
    const stated = statedOf(cell.text, sheet.vocabulary)
    if (stated) return stated
  }
  return null
}

/** Whether a table holds measured values: a value column and limits in some form. */
function isValueTable(table: Table, group: number): boolean {
  const has = (role: Parameters<typeof columnOf>[1]) => columnOf(table, role, group) >= 0
  return (
    (has('actual') || has('before')) &&
    (has('least') || has('most') || has('limits') || has('tolerance') || has('nominal'))
  )
}

/** Values with limits in running lines between two lines of a sheet, outside value tables. */
function fromLines(sheet: Sheet, from: number, to: number, consumed: ReadonlySet<number>): MeasuredFound[] {
  const found: MeasuredFound[] = []
  const style = { decimal: sheet.decimal }
  const lines = sheet.lines.filter((line) => line.index >= from && line.index < to && !consumed.has(line.index))
  lines.forEach((line, at) => {
    line.cells.forEach((cell, c) => {
      // Name: value (limits), all in one cell.
      const inline = /^(.{2,60}?)\s*[:=]\s+(.*\d.*)$/.exec(cell.text)
      if (inline?.[1] && inline[2] && /\p{L}{2}/u.test(inline[1])) {
        const quantity = readQuantity(inline[2], style)
        if (quantity && quantity.start <= 2) {
          const rest = inline[2].slice(quantity.end)
          // "2.5 bar (placard 2.4 / 2.5)": what the placard wants of two axles are no two limits.
          if (namesPlacard(sheet, rest)) return
          const limits = LIMIT_WORDS.test(rest) || /[([]/.test(rest) ? readLimits(rest, style) : null
          const beside = limits ?? limitsOfCells(line.cells.slice(c + 1), style)
          if (beside) {
            const stated = statedOf(rest.replace(beside.text, ' '), sheet.vocabulary) ?? statedIn(sheet, line, beside)
            found.push({
              value: measured(inline[1], quantity, beside, stated),
              place: placeOfCells([cell]),
              line: line.index,
            })
          } else {
            const below = limitsBeneath(lines, at, cell, style)
            if (below)
              found.push({
                value: measured(
                  inline[1],
                  quantity,
                  below.limits,
                  statedOf(below.line.text.replace(below.limits.text, ' '), sheet.vocabulary),
                ),
                place: placeOfCells([cell]),
                line: line.index,
              })
          }
        }
        return
      }
      // "Front seam 1.20 px (0.0 … 4.0 px)": name, value and limits in one breath.
      const breath = /^(\p{L}[\p{L}\p{N} /,.-]*?)\s+([+−–-]?\d[\d.,]*\s?\S{0,7})\s*[([](.+)[)\]]\s*(.*)$/u.exec(
        cell.text,
      )
      if (breath?.[1] && breath[2] && breath[3]) {
        const quantity = readQuantity(breath[2], style)
        const limits = readLimits(breath[3], style)
        if (quantity && limits) {
          const stated = statedOf(breath[4] ?? '', sheet.vocabulary)
          found.push({
            value: measured(breath[1], quantity, limits, stated),
            place: placeOfCells([cell]),
            line: line.index,
          })
        }
        return
      }
      if (!isQuantityCell(cell, style)) return
      const { quantity, rest } = splitQuantity(cell, style)
      if (!quantity) return
      const previous = line.cells[c - 1]
      const restLimits = LIMIT_WORDS.test(rest) || /^[([]/.test(rest) ? readLimits(rest, style) : null
      if (isNaming(previous) && !isQuantity(previous.text)) {
        // Name | value | limits, in cells beside each other or the limits beneath.
        const limits =
          restLimits ??
          limitsOfCells(line.cells.slice(c + 1), style) ??
          pairOfCells(quantity.value, line.cells.slice(c + 1), style)
        if (limits) {
          found.push({
            value: measured(
              previous.text,
              quantity,
              limits,
              statedOf(rest, sheet.vocabulary) ?? statedIn(sheet, line, limits),
            ),
            place: placeOfCells([previous, cell]),
            line: line.index,
          })
          return
        }
        const below = limitsBeneath(lines, at, previous, style)
        if (below) {
          const statedText = below.line.text.replace(below.limits.text, ' ')
          found.push({
            value: measured(
              previous.text,
              quantity,
              below.limits,
              statedIn(sheet, below.line, below.limits) ?? statedOf(statedText, sheet.vocabulary),
            ),
            place: placeOfCells([previous, cell]),
            line: line.index,
          })
        }
        return
      }
      // Name above, limits beneath or behind, in a grid.
      const above = overlapping(lines[at - 1], cell, line)
      if (!isNaming(above) || isQuantity(above.text)) return
      const beneath = overlapping(lines[at + 1], cell, lines[at + 1])
      const text = restLimits ? rest : (beneath?.text ?? '')
      const behind = limitsOfCells(line.cells.slice(c + 1, c + 2), style)
      if (behind && line.cells.length <= 4 && (lines[at - 1]?.cells.length ?? 0) === 1) {
        found.push({
          value: measured(above.text, quantity, behind, statedIn(sheet, line, behind)),
          place: placeOfCells([above, ...line.cells]),
          line: line.index,
        })
        return
      }
      const limits =
        restLimits ?? (LIMIT_WORDS.test(text) || /…|\.\.|\bto\b/.test(text) ? readLimits(text, style) : null)
      if (limits)
        found.push({
          value: measured(
            above.text,
            quantity,
            limits,
            statedOf(text.replace(limits.text, ' ').replace(/^\W*\p{L}+\W+(?=\W)/u, ''), sheet.vocabulary),
          ),
          place: placeOfCells([cell]),
          line: line.index,
        })
    })
  })
  return found
}

function namesPlacard({ vocabulary }: Sheet, text: string): boolean {
  const hits = vocabulary.conditions.within(vocabulary.tokens(text))
  return hits.some(({ entries }) => entries.some(({ key }) => key === 'placard'))
}

function isQuantityCell(cell: Cell, style: { decimal: ',' | '.' | null }): boolean {
  const quantity = readQuantity(cell.text, style)
  return quantity !== null && quantity.start === 0
}

function splitQuantity(cell: Cell, style: { decimal: ',' | '.' | null }) {
  const quantity = readQuantity(cell.text, style)
  // "0.14 deg." ends a sentence, or a speck stands behind it.
  const rest = quantity
    ? cell.text
        .slice(quantity.end)
        .trim()
        .replace(/^[.,;:]$/, '')
    : ''
  // A number with words that are no limits ("12 Summit Road") is no measured value.
  if (quantity && rest !== '' && !LIMIT_WORDS.test(rest) && !/^[([,;·]/.test(rest)) return { quantity: null, rest }
  return { quantity, rest }
}

function overlapping(line: Line | undefined, cell: Cell, near: Line | undefined): Cell | undefined {
  if (!line || !near || line.page !== cell.page) return undefined
  const gap = line.box[1] >= cell.box[3] - 1 ? line.box[1] - cell.box[3] : cell.box[1] - line.box[3]
  if (gap > 2 * cell.size) return undefined
  return line.cells.find((other) => Math.min(other.box[2], cell.box[2]) - Math.max(other.box[0], cell.box[0]) > 0)
}

/**
 * The measured values between two lines, in reading order. `wanted` says which column counts where a table has values
 * before and after an adjustment.
 */
export function readMeasured(
  sheet: Sheet,
  from: number,
  to: number,
  wanted: readonly ('actual' | 'before')[] = ['actual', 'before'],
): MeasuredFound[] {
  const found: MeasuredFound[] = []
  const consumed = new Set<number>()
  const said = new Set<number>()
  for (const table of sheet.tables) {
    if (table.header.index < from || table.header.index >= to) continue
    for (let group = 0; group < groupCount(table); group++) {
      if (!isValueTable(table, group)) continue
      for (const row of table.rows) {
        const value = fromRow(sheet, table, row, group, wanted)
        // A row with a value before the adjustment and none after it is understood, and holds nothing final.
        if (!value && row.cells[columnOf(table, 'before', group)]) consumed.add(row.line.index)
        if (!value) continue
        found.push(value)
        consumed.add(row.line.index)
        for (const line of row.continued) consumed.add(line.index)
      }
      consumed.add(table.header.index)
    }
  }
  for (const { name, quantity, limits, bracketed, behind, place, lines } of findSaidValues(sheet, from, to)) {
    if (namesPlacard(sheet, bracketed) || lines.some(({ index }) => consumed.has(index))) continue
    found.push({
      value: measured(name, quantity, limits, statedOf(behind, sheet.vocabulary)),
      place,
      line: lines[0]?.index ?? from,
    })
    for (const { index } of lines) said.add(index)
  }
  found.push(...fromLines(sheet, from, to, new Set([...consumed, ...said])))
  return found.filter(({ value }) => isMeasured(sheet, value)).sort((a, b) => a.line - b.line)
}

function isMeasured(sheet: Sheet, { name, least, most }: MeasuredValue): boolean {
  if (least === undefined && most === undefined) return false
  const meanings = sheet.vocabulary.labels.whole(sheet.vocabulary.tokens(name))
  return !meanings.some(({ key }) => NOT_MEASURED.has(key))
}
