/**
 * Labels and their values: behind a colon, in the next cell, beneath, above, or in a grid whose rows of labels and rows of
 * values take turns. The vocabulary says what a label is; the shape of the value says which neighbour belongs to it; where
 * several would do, the whole row and then the whole document decide, since people lay a page out in one manner.
 */
import { type Cell, type Layout, type Line, placeOf } from '../layout.ts'
import type { Place, Word } from '../reading.ts'
import { startsWithBox } from '../ticks.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { type LabelMeaning, PROSE_PRONE, type Spot, spotsIn, strip, textOf } from './label-spots.ts'
import { isGeneral, lendHeadings } from './lent-headings.ts'
import { findProseFields } from './prose.ts'
import { fitOf, holdsDate } from './value-shapes.ts'

export type Arrangement = 'inline' | 'beside' | 'beneath' | 'above'

export interface Field {
  /** What the label can mean, plainest first; empty for a label that the vocabulary does not know. */
  meanings: LabelMeaning[]
  label: string
  value: string
  words: Word[]
  page: number
  /** Index of the label's line. */
  line: number
  arrangement: Arrangement
  place: Place
  labelPlace: Place
}

const YEAR = /^\(?(?:19[89]|20[0-4])\d\)?[.,;]?$/

const overlaps = (a: Cell, b: Cell) => Math.min(a.box[2], b.box[2]) - Math.max(a.box[0], b.box[0])

function bestFit(meanings: readonly LabelMeaning[], text: string) {
  let best: 'strong' | 'weak' | null = null
  for (const { key } of meanings) {
    const fit = fitOf(key, text)
    if (fit === 'strong') return 'strong'
    if (fit) best = fit
  }
  return meanings.length === 0 ? 'weak' : best
}

/** "RO / claim: 30618 / NHM-26": two labels and two values in one. Empty where it is none. */
function splitPair(label: readonly Word[], value: readonly Word[], vocabulary: Vocabulary) {
  const cut = (words: readonly Word[]) => {
    const at = words.findIndex((word) => word.text === '/')
    return at > 0 && at < words.length - 1 ? [words.slice(0, at), words.slice(at + 1)] : null
  }
  const labels = cut(label)
  const values = cut(value)
  if (!labels || !values) return []
  const parts = labels.map((words, i) => {
    const meanings = vocabulary.labels
      .whole(vocabulary.tokens(textOf(words).replace(/[:=]$/, '')))
      .map(({ key, rank }) => ({ key, rank }))
    const own = [...(values[i] ?? [])]
    return { meanings, label: textOf(words), value: textOf(own), words: own }
  })
  // "Fecha / Date: 13 de marzo de 2026 / 13 March 2026" is one label in two languages.
  const isPair = parts.every(({ meanings, words }) => meanings.length > 0 && words.length > 0)
  const keys = new Set(parts.map(({ meanings }) => meanings[0]?.key))
  return isPair && keys.size > 1 ? parts : []
}

/** One number is not both the job's and the claim's: of "Dossier / Claim no." the plainer word says whose it is. */
function oneNumber(meanings: readonly LabelMeaning[]): LabelMeaning[] {
  const numbers = meanings.filter(({ key }) => key === 'jobNumber' || key === 'claimNumber')
  const plainest = Math.min(...numbers.map(({ rank }) => rank))
  return meanings.filter((meaning) => !numbers.includes(meaning) || meaning.rank === plainest)
}

/** Finds labels and their values on laid-out pages. `taken` says which lines belong to tables of several rows. */
export function findFields(layout: Layout, vocabulary: Vocabulary, taken: (line: Line) => boolean): Field[] {
  const lines = layout.lines.filter((line) => line.furniture !== 'page-number' && line.furniture !== 'repeated')
  const spotsByCell = new Map<Cell, Spot[]>()
  for (const line of lines) for (const cell of line.cells) spotsByCell.set(cell, spotsIn(cell, vocabulary))
  const isWholeLabel = (cell: Cell | undefined) => {
    const spot = cell && spotsByCell.get(cell)?.[0]
    return spot !== undefined && spot.from === 0 && spot.to === cell?.words.length
  }
  // "Verdict   Learned": a word that is also a label is a value where it says how something ended, behind a label.
  const saysOutcome = new Set<Cell>()
  for (const line of lines) {
    line.cells.forEach((cell, i) => {
      const before = line.cells[i - 1]
      if (
        !isWholeLabel(cell) ||
        spotsByCell.get(cell)?.[0]?.colon ||
        !isWholeLabel(before) ||
        (before && saysOutcome.has(before))
      )
        return
      const asked =
        before && spotsByCell.get(before)?.[0]?.meanings.some(({ key }) => key === 'outcome' || key === 'progress')
      if (asked && vocabulary.outcomes.whole(vocabulary.tokens(cell.text)).length > 0) saysOutcome.add(cell)
    })
  }
  const isLabel = (cell: Cell | undefined) => cell !== undefined && !saysOutcome.has(cell) && isWholeLabel(cell)
  const startsWithLabel = (cell: Cell | undefined) => {
    const spot = cell && spotsByCell.get(cell)?.[0]
    return spot !== undefined && spot.from === 0 && spot.colon
  }

  const beneathOf = (cell: Cell, line: Line): Cell | null =>
    line.cells.filter((other) => overlaps(cell, other) > 0).sort((a, b) => overlaps(cell, b) - overlaps(cell, a))[0] ??
    null
  /** A row of labels that ends a page, with as many values at the head of the next one. */
  const goesOverPage = (at: number): boolean => {
    const [line, next] = [lines[at], lines[at + 1]]
    if (!line || !next || next.page !== line.page + 1 || line.cells.length < 2) return false
    return line.cells.every(isLabel) && next.cells.length === line.cells.length && !next.cells.some(isLabel)
  }
  const verticalNeighbour = (cell: Cell, at: number, step: 1 | -1): Cell | null => {
    for (let i = at + step, seen = 0; i >= 0 && i < lines.length && seen < 2; i += step, seen++) {
      const line = lines[i]
      if (!line || (line.page !== cell.page && !(step > 0 && goesOverPage(at)))) return null
      if (line.page !== cell.page) return beneathOf(cell, line)
      const gap = step > 0 ? line.box[1] - cell.box[3] : cell.box[1] - line.box[3]
      if (gap > 2.4 * Math.max(cell.size, line.size)) return null
      const beneath = beneathOf(cell, line)
      if (beneath) return beneath
    }
    return null
  }

  /**
   * A value that breaks off goes on in the cell beneath: behind a hyphen or comma, "10 h" with its minutes, a clock with its
   * half of the day or its zone, a form's options.
   */
  const goOn = (value: Word[]): Word[] => {
    const last = value.at(-1)
    const first = value[0]
    if (!last || !first || last.cell) return value
    const isHour = /^[hH]$/.test(last.text) && /^\d{1,2}$/.test(value.at(-2)?.text ?? '')
    const isForm = startsWithBox(textOf(value.slice(0, 2)))
    const isClock = /^\d{1,2}:\d{2}(?::\d{2})?$/.test(last.text)
    // "Monday, 2 March 2026 at" over "4:20 PM"
    const isDay = /^(?:at|um|à)$/i.test(last.text) && holdsDate(textOf(value))
    const breaksOff = isHour || isForm || isClock || isDay || (/[-–,(/]$/.test(last.text) && !/^[-–]+$/.test(last.text))
    if (!breaksOff) return value
    const at = lines.findIndex((line) => line.cells.some((cell) => cell.words.includes(last)))
    const next = lines[at + 1]
    const beneath = next?.cells.find((cell) => Math.abs(cell.box[0] - first.box[0]) < 2)
    if (!next || !beneath || next.page !== lines[at]?.page || next.gapAbove > 0.7 * last.size) return value
    if (isHour && !/^[0-5]\d$/.test(beneath.text)) return value
    if (isDay && !/^\d{1,2}[:.h]\d{2}\b/.test(beneath.text)) return value
    if (isClock && !/^(?:[AP]\.?M\.?(?: [A-Z]{2,5})?|[A-Z]{3,5}|UTC[+−-]\d\S*)$/i.test(beneath.text)) return value
    if (isForm) return startsWithBox(beneath.text) ? goOn([...value, ...beneath.words]) : value
    return isLabel(beneath) || startsWithLabel(beneath) || beneath.words.length > 4
      ? value
      : [...value, ...beneath.words]
  }

  /**
   * The last value of a line that is as full as the page goes on where the next line starts: "Odometer: 48" over "247 km". Only
   * where that makes a value of the label's shape out of what was none, or hardly one.
   */
  const flowOn = (meanings: readonly LabelMeaning[], value: Word[]): Word[] => {
    const last = value.at(-1)
    if (!last || last.cell || meanings.length === 0) return value
    const at = lines.findIndex((line) => line.cells.at(-1)?.words.at(-1) === last)
    const [line, next] = [lines[at], lines[at + 1]]
    const rest = next?.cells.length === 1 ? next.cells[0] : undefined
    if (!line || !next || !rest || next.page !== line.page || next.gapAbove > 0.7 * last.size) return value
    const isFlow = line.cells.length > 1 && Math.abs(rest.box[0] - line.box[0]) < 2 && rest.words.length <= 3
    const isFull = line.box[2] + (rest.words[0]?.box[2] ?? 0) - rest.box[0] > rightEdge(line.page) - last.size
    if (!isFlow || !isFull || startsWithLabel(rest) || isLabel(rest)) return value
    const joined = [...value, ...rest.words]
    const [alone, together] = [bestFit(meanings, textOf(value)), bestFit(meanings, textOf(joined))]
    const isBetter = (together !== null && alone === null) || (together === 'strong' && alone === 'weak')
    return isBetter ? joined : value
  }
  /** The model year of a vehicle whose name fills the cell or the line: "Ostrel Vane, model year" over "2022". */
  const goOnToYear = (meanings: readonly LabelMeaning[], value: Word[]): Word[] => {
    const [first, last] = [value[0], value.at(-1)]
    if (!first || !last || last.cell || !meanings.some(({ key }) => key === 'vehicle')) return value
    if (/\b(?:19|20)\d{2}\b/.test(textOf(value))) return value
    const at = lines.findIndex((line) => line.cells.some((cell) => cell.words.includes(last)))
    const [line, next] = [lines[at], lines[at + 1]]
    if (!line || !next || next.page !== line.page || next.gapAbove > 0.7 * last.size) return value
    const alone = next.cells.find(({ box }) => Math.abs(box[0] - first.box[0]) < 2)
    if (alone?.words.length === 1 && YEAR.test(alone.text)) return [...value, ...alone.words]
    const start = next.cells[0]?.words[0]
    const flows = /,$/.test(last.text) && last === line.cells.at(-1)?.words.at(-1)
    const ends = start !== undefined && (/[.;,)]$/.test(start.text) || next.cells[0]?.words.length === 1)
    if (!flows || !ends || Math.abs(start.box[0] - line.box[0]) >= 2) return value
    return YEAR.test(start.text) ? [...value, start] : value
  }
  const rightEdge = (page: number) => Math.max(...lines.filter((line) => line.page === page).map(({ box }) => box[2]))

  const fields: Field[] = []
  const add = (spot: Spot, words: readonly Word[], line: Line, arrangement: Arrangement, page = line.page) => {
    const value = goOnToYear(spot.meanings, flowOn(spot.meanings, goOn(strip(words))))
    if (value.length === 0) return
    const label = spot.cell.words.slice(spot.from, spot.to)
    const parts = splitPair(label, value, vocabulary)
    for (const part of parts) {
      fields.push({
        ...part,
        page,
        line: line.index,
        arrangement,
        place: placeOf(page, part.words),
        labelPlace: placeOf(line.page, label),
      })
    }
    if (parts.length > 0) return
    fields.push({
      meanings: oneNumber(spot.meanings),
      label: textOf(label).replace(/\s*[:=]+$/, ''),
      value: textOf(value).replace(/-\s(?=\S+$)/, (dash) => (value.at(-2)?.text.endsWith('-') ? '-' : dash)),
      words: value,
      page,
      line: line.index,
      arrangement,
      place: placeOf(page, [...(arrangement === 'inline' ? label : []), ...value]),
      labelPlace: placeOf(line.page, label),
    })
  }
  /** The words of a neighbour cell up to the next label in it. */
  const valueWords = (cell: Cell) => {
    const next = saysOutcome.has(cell) ? undefined : spotsByCell.get(cell)?.find((spot) => spot.from > 0)
    return cell.words.slice(0, next ? next.from : cell.words.length)
  }

  // First look: how many grids of this document put the value beneath the label, how many above it?
  let beneathVotes = 0
  let aboveVotes = 0
  lines.forEach((line, at) => {
    for (const cell of line.cells) {
      const spot = spotsByCell.get(cell)?.[0]
      if (!spot || !isLabel(cell) || spot.meanings.length === 0) continue
      const below = verticalNeighbour(cell, at, 1)
      const above = verticalNeighbour(cell, at, -1)
      const fits = (other: Cell | null) =>
        other !== null && !isLabel(other) && spot.meanings.some(({ key }) => fitOf(key, other.text) === 'strong')
      if (fits(below)) beneathVotes++
      if (fits(above)) aboveVotes++
    }
  })
  const vertical: readonly (1 | -1)[] = aboveVotes > beneathVotes ? [-1] : [1]

  lines.forEach((line, at) => {
    if (taken(line)) return
    const labels = line.cells.filter((cell) => isLabel(cell)).length
    const stacked = labels > 0.55 * line.cells.length || (labels >= 3 && labels >= line.cells.length - 1)
    line.cells.forEach((cell, c) => {
      for (const spot of spotsByCell.get(cell) ?? []) {
        const inline = strip(cell.words.slice(spot.to, spot.until))
        if (inline.length > 0) {
          // Without a colon only a value of the right shape makes the words before it a label.
          const fit = bestFit(spot.meanings, textOf(inline))
          if (
            spot.colon ||
            fit === 'strong' ||
            (fit === 'weak' && spot.twofold === true) ||
            (fit === 'weak' &&
              spot.meanings.some(({ key }) => !PROSE_PRONE.has(key) && fitOf(key, textOf(inline)) !== null))
          )
            add(spot, inline, line, 'inline')
          continue
        }
        if (spot.until < cell.words.length && spot.to !== cell.words.length) continue
        const right = line.cells[c + 1]
        // A label at one edge of the page and its value at the other, with nothing between them.
        const isPair = line.cells.length === 2
        const besideFit =
          right && !isLabel(right) && !startsWithLabel(right) && (isPair || right.box[0] - cell.box[2] < 320)
            ? bestFit(spot.meanings, textOf(strip(valueWords(right))))
            : null
        const column = spot.cell.words[spot.to - 1]?.cell ? null : undefined
        const verticals = vertical
          .map((step) => {
            const other = verticalNeighbour(cell, at, step)
            const usable = other && !isLabel(other) && !startsWithLabel(other)
            return usable ? { step, other, fit: bestFit(spot.meanings, textOf(valueWords(other))) } : null
          })
          .filter((candidate) => candidate !== null)
          .filter(({ fit }) => fit !== null)
        const strongVertical = verticals.find(({ fit }) => fit === 'strong')
        const takeBeside = () => right && add(spot, valueWords(right), line, 'beside')
        // "name: Aimwright 3" beneath "tool": no person's name, and the heading above tells what it is.
        const isOpen = column === null && besideFit === null && spot.colon && right
        if (isOpen && isGeneral(vocabulary.tokens(textOf(cell.words)))) {
          add({ ...spot, meanings: [] }, valueWords(right), line, 'beside')
          continue
        }
        const takeVertical = (pick = verticals[0]) => {
          if (!pick) return
          const { other, step } = pick
          add(spot, valueWords(other), line, step === 1 ? 'beneath' : 'above', other.page)
        }
        if (column === null && besideFit) takeBeside()
        else if (stacked && verticals.length > 0 && !(besideFit === 'strong' && !strongVertical)) takeVertical()
        else if (besideFit === 'strong') takeBeside()
        else if (strongVertical && besideFit === null) takeVertical(strongVertical)
        else if (besideFit !== null && (!stacked || verticals.length === 0)) takeBeside()
        else if (verticals.length > 0 && (labels === line.cells.length || besideFit === null)) takeVertical()
      }
    })
  })
  lendHeadings(fields, layout, vocabulary)
  return [...fields, ...findProseFields(layout, vocabulary)].sort((a, b) => a.line - b.line)
}
