/**
 * Trouble codes in a scan that was read from a picture: characters that look alike are told apart by the structure of a
 * code, and, where that leaves several, by the codes that other documents of the packet list. No choice is silent.
 */
import { illegible, isIllegible } from '../illegible.ts'
import { type Cell, type Layout, makeCell } from '../layout.ts'
import { type Choice, tellChoices } from '../look-alikes.ts'
import { columnOf } from '../page/tables.ts'
import type { Problem, Word } from '../reading.ts'
import { formatTroubleCode, parseTroubleCode, type TroubleCode } from '../trouble-code-bytes.ts'
import { codesFromPicture, codesLike } from '../trouble-code-look-alikes.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Sheet } from './sheet.ts'

/** A reading less sure than that may be of nothing: 0 to 100. */
const guess = 50

/** A word, and the text that is taken for it. */
interface Taken {
  page: number
  word: Word
  text: string
  by: 'structure' | 'documents' | 'doubt'
  /** The codes that it may as well be, where it is in doubt. */
  rivals?: string[]
}

const bareCode = (word: string): string => word.replace(/^[("[*#$]+|[)"\]*,;:.]+$/g, '')

/** What was read in the place of a word; null for a word that the file itself gives, and for a mere guess. */
function readingOf({ text, readAs, confidence }: Word): string | null {
  if (confidence === undefined) return null
  if (!isIllegible(text)) return bareCode(text)
  return readAs !== undefined && confidence >= guess ? bareCode(readAs) : null
}

/** The code that a word is taken for, where it shows none as it was read; `before` stands in front of a failure type. */
function takeCode(word: Word, known: readonly TroubleCode[], before = ''): Omit<Taken, 'page' | 'word'> | null {
  const read = readingOf(word)
  if (read === null) return null
  const isDoubtful = isIllegible(word.text)
  const printed = isDoubtful ? null : parseTroubleCode(before + read)
  if (printed !== null) return before === '' ? doubtCode(read, printed, known) : null
  const allowed = isDoubtful ? [] : codesFromPicture(before + read)
  const isListed = (code: TroubleCode) => known.some((other) => formatTroubleCode(other) === formatTroubleCode(code))
  const listed = isDoubtful ? codesLike(before + read, known) : allowed.filter(isListed)
  const [only, ...others] = allowed.length === 1 ? allowed : listed
  if (only === undefined || others.length > 0 || (before !== '' && only.failureType === null)) return null
  const text = before === '' ? formatTroubleCode(only) : (only.failureType ?? '')
  return { text, by: allowed.length === 1 ? 'structure' : 'documents' }
}

/**
 * A code that no other document lists, and some list one that looks the same: coarse pictures make an 8 of a B however
 * sure the reading is, so that it is neither. Null where there is no such doubt.
 */
function doubtCode(
  read: string,
  printed: TroubleCode,
  known: readonly TroubleCode[],
): Omit<Taken, 'page' | 'word'> | null {
  const like = codesLike(read, known)
  if (like.length === 0 || known.some(({ code }) => code === printed.code)) return null
  return { text: illegible, by: 'doubt', rivals: like.map(formatTroubleCode) }
}

const isFailureType = (text: string): boolean => /^(?=.*\d)[0-9A-Z|]{2,3}$/.test(text)

/** In a column of codes: any of its words may be one, and what stands behind one its failure type. */
function takeInColumn({ words, page }: Cell, known: readonly TroubleCode[]): Taken[] {
  const taken: Taken[] = []
  for (const [at, word] of words.entries()) {
    const last = words[at - 1]
    const code = last && (taken.find((one) => one.word === last)?.text ?? bareCode(last.text))
    const isBehind = code !== undefined && /^[PCBU]\w{4}$/.test(code) && isFailureType(readingOf(word) ?? '')
    const found = takeCode(word, known, isBehind && parseTroubleCode(code) ? `${code} ` : '')
    if (found) taken.push({ page, word, ...found })
  }
  return taken
}

/** Elsewhere: two digits at least as they were read, on a line that speaks of codes ("PO123" is an order). */
function takeInLine({ words, page, text: line }: Cell, known: readonly TroubleCode[], around: string): Taken[] {
  return words.flatMap((word) => {
    const read = readingOf(word) ?? ''
    const found = /\d.*\d/.test(read) && !/^PO\d+$/.test(read) ? takeCode(word, known) : null
    if (found === null) return []
    const told = findTroubleCodes(around.replace(line, line.replace(word.text, found.text)), { strictness: 'strict' })
    return found.by === 'doubt' || told.some((code) => found.text.startsWith(code.code))
      ? [{ page, word, ...found }]
      : []
  })
}

function takeAll(sheet: Sheet, known: readonly TroubleCode[]): Taken[] {
  const inColumns = sheet.tables.flatMap((table) => {
    const column = columnOf(table, 'code')
    return column < 0 ? [] : table.rows.flatMap(({ cells }) => cells[column] ?? [])
  })
  const columned = new Set(inColumns.flatMap(({ words }) => words))
  return [
    ...inColumns.flatMap((cell) => takeInColumn(cell, known)),
    ...sheet.lines.flatMap(({ cells, text }) =>
      cells
        .filter(({ words }) => !words.some((word) => columned.has(word)))
        .flatMap((cell) => takeInLine(cell, known, text)),
    ),
  ]
}

function tellDoubt({ page, word, by, rivals = [] }: Taken): Problem[] {
  if (by !== 'doubt') return []
  const message = `"${word.text}" on page ${page} looks like ${rivals.join(' or ')}, which other documents list, and was taken for neither`
  return [{ code: 'unread-code', message }]
}

/** A layout with other texts for some of its words. */
function replaceWords(layout: Layout, taken: readonly Taken[]): Layout {
  const texts = new Map(taken.map(({ word, text }) => [word, text]))
  const lines = layout.lines.map((line) => {
    if (!line.cells.some(({ words }) => words.some((word) => texts.has(word)))) return line
    const cells = line.cells.map((cell) => {
      const words = cell.words.map((word) => {
        const text = texts.get(word)
        if (text === undefined) return word
        const { readAs, ...rest } = word
        return text === illegible ? { ...rest, text } : { ...rest, text, readAs: readAs ?? word.text }
      })
      return makeCell(words, cell.page, cell.line)
    })
    return { ...line, cells, text: cells.map(({ text }) => text).join(' ') }
  })
  return { ...layout, lines }
}

const reasons = {
  structure: 'the structure of a trouble code',
  documents: 'the codes that other documents list',
} as const

/**
 * The layout of a scan with the codes that look-alikes hid, and remarks on each; null where none is hidden. `known`: codes
 * that other documents of the packet list in letters of their own.
 */
export function settlePicturedCodes(
  sheet: Sheet,
  layout: Layout,
  known: readonly TroubleCode[],
): { layout: Layout; problems: Problem[] } | null {
  const words = new Set(layout.lines.flatMap(({ cells }) => cells.flatMap((cell) => cell.words)))
  const taken = takeAll(sheet, known).filter(({ word }) => words.has(word))
  if (taken.length === 0) return null
  const choicesBy = (by: Taken['by']): Choice[] =>
    taken
      .filter((one) => one.by === by)
      .map(({ page, word, text }) => ({ page, read: word.readAs ?? word.text, taken: text }))
  const problems = (['structure', 'documents'] as const).flatMap((by) => tellChoices(choicesBy(by), reasons[by]))
  return { layout: replaceWords(layout, taken), problems: [...problems, ...taken.flatMap(tellDoubt)] }
}
