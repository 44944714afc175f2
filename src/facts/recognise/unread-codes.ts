/**
 * What stands where a trouble code should, and is none of the form that is read: a maker's own number, a code whose
 * structure is broken, or a character misread. A scan that holds one was not read in full, so that nobody may call it clean.
 */
import { statusFromWords } from '../code-status.ts'
import type { UnreadCode } from '../document.ts'
import { isIllegible } from '../illegible.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { columnOf } from '../page/tables.ts'
import type { Place, Problem, Word } from '../reading.ts'
import { formatTroubleCode, isWellFormedCode } from '../trouble-code-bytes.ts'
import { codeFromPicture, codesFromPicture } from '../trouble-code-look-alikes.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Sheet } from './sheet.ts'

/** Four to seven hexadecimal digits, a decimal one among them; a letter before and a failure type behind may be tied on. */
const CODE_LIKE =
  /^[("[*#$]*(?:0x)?(?:\p{L}[-.]?)?(?=[0-9A-F]*\d)[0-9A-F]{4,7}(?:[-‐-―−:._/][0-9A-F]{2,3})?h?[)"\]*,;:]*$/iu

/** A code with letters where digits should stand: O or Q for 0, I or l for 1, S for 5, Z for 2. */
const LOOK_ALIKE = /^[PCBU](?=\S*\d\S*\d)[0-3OQIlZ][0-9A-FOQIlSZ]{3}(?:[-:/]?[0-9A-FOQIlSZ]{2})?$/
/** The letter of a code and what is no code behind it: too short, too long, or a first digit above 3. */
const LETTERED = /^[PCBU][-.]?(?=\S*\d\S*\d)[0-9A-Z]{2,8}(?:[-:/][0-9A-Z]{1,3})?$/i

/** What follows such a number makes it a measurement, a year or a count of distance. */
const UNIT = /^(?:km|mi|miles|kilomet\w*|rpm|mv|v|volts?|s|sec|min|h|hours?|kpa|psi|mm|%)[.,;)]*$/i

/** More that a doubtful word may be help nobody. */
const mostAlternatives = 4

export interface UnreadCodes {
  codes: { reading: UnreadCode; place: Place }[]
  problems: Problem[]
}

/** The status that the last words of a line, or the words in its last brackets, tell. */
function endsInStatus(line: Line): boolean {
  const bracketed = /[([]([^)\]]{2,40})[)\]]\W*$/.exec(line.text)?.[1]
  const last = bracketed ?? line.text.split(/\s+/).slice(-2).join(' ')
  return statusFromWords(last) !== 'unknown'
}

const bare = (word: string) => word.replace(/^[("[*#$]+|[)"\]*,;:]+$/g, '')

function codeLikeWord(line: Line): string | null {
  const words = line.text.split(' ')
  const at = words.findIndex(
    (word, i) => (CODE_LIKE.test(word) || LOOK_ALIKE.test(bare(word))) && !UNIT.test(words[i + 1] ?? ''),
  )
  return at < 0 ? null : (words[at] ?? null)
}

/** What is the matter with a word that stands where a code should. */
export function describeUnreadCode(word: string): UnreadCode {
  const text = bare(word)
  const likely = LOOK_ALIKE.test(text) ? codeFromPicture(text) : null
  if (likely) return { text, fault: 'look-alike', likely: formatTroubleCode(likely) }
  return { text, fault: LETTERED.test(text) ? 'structure' : 'own-number' }
}

interface Found {
  word: string
  cells: readonly Cell[]
  page: number
  /** It was read from a picture, so that the fault may be the reader's. */
  isPictured: boolean
}

const isFromPicture = (words: readonly Word[]): boolean => words.some(({ confidence }) => confidence !== undefined)

/** What a cell of a picture has in the place of a code: also what was read there and is too doubtful to use. */
function picturedWord({ words }: Cell): string | null {
  const [first] = words
  const text = first?.readAs ?? first?.text ?? ''
  return isFromPicture(words) && /^[PCBU][0-9A-Z|]{3}/i.test(text) && /\d/.test(text) ? text : null
}

/** Words and lines where a code should have been read; at most a hundred. */
function findWords(sheet: Sheet): Found[] {
  const labelled = new Set(sheet.fields.filter(({ meanings }) => meanings.length > 0).map(({ line }) => line))
  const inTable = new Set<number>()
  const found: Found[] = []
  for (const table of sheet.tables) {
    const column = columnOf(table, 'code')
    for (const { line, cells } of table.rows) {
      inTable.add(line.index)
      const cell = column < 0 ? undefined : cells[column]
      if (!cell || findTroubleCodes(line.text, { strictness: 'loose' }).length > 0) continue
      const pictured = picturedWord(cell)
      const word = pictured ?? cell.text
      const stands = CODE_LIKE.test(word) || LOOK_ALIKE.test(bare(word)) || LETTERED.test(bare(word))
      if (pictured !== null || stands)
        found.push({ word, cells: line.cells, page: line.page, isPictured: isFromPicture(cell.words) })
    }
  }
  for (const line of sheet.lines) {
    if (labelled.has(line.index) || inTable.has(line.index) || !endsInStatus(line)) continue
    const word = codeLikeWord(line)
    if (word === null || findTroubleCodes(line.text).length > 0) continue
    const isPictured = isFromPicture(line.cells.flatMap(({ words }) => words))
    found.push({ word, cells: line.cells, page: line.page, isPictured })
  }
  return found.slice(0, 100)
}

/** What is said of a word that is no code; of a picture, which codes it may show. */
function describeFault({ word, page, isPictured }: Found): string {
  const stands = `"${word}" on page ${page} stands where a trouble code does`
  if (!isPictured) return `${stands} and is not of the form that is read`
  const may = codesFromPicture(bare(word)).slice(0, mostAlternatives).map(formatTroubleCode)
  return `${stands} and cannot be read surely${may.length === 0 ? '' : `; it may be ${may.join(' or ')}`}`
}

/** Codes of a picture behind which a failure type stands that is too doubtful to use. */
function findLostTypes(sheet: Sheet): Problem[] {
  return sheet.lines.flatMap(({ cells, page }) =>
    cells.flatMap(({ words }) =>
      words.flatMap(({ text, readAs = '' }, at) => {
        const code = bare(words[at - 1]?.text ?? '')
        if (!isIllegible(text) || !isWellFormedCode(code) || !/^(?=.*\d)[0-9A-Z|]{2}$/i.test(bare(readAs))) return []
        return [{ code: 'unread-code', message: `What stands behind ${code} on page ${page} cannot be read surely` }]
      }),
    ),
  )
}

/**
 * Every code that was not read, with its place; one problem for each of the first three. What a picture shows has problems
 * alone: its misprints are the reader's until somebody has looked.
 */
export function findUnreadCodes(sheet: Sheet): UnreadCodes {
  const found = findWords(sheet)
  const printed = found.filter(({ isPictured }) => !isPictured)
  return {
    codes: printed.map(({ word, cells }) => ({ reading: describeUnreadCode(word), place: placeOfCells(cells) })),
    problems: [
      ...found.slice(0, 3).map((one) => ({ code: 'unread-code', message: describeFault(one) })),
      ...findLostTypes(sheet).slice(0, 3),
    ],
  }
}
