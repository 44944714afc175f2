/**
 * What stands where a trouble code should, and is none of the form that is read: a maker's own number, a code whose
 * structure is broken, or a character misread. A scan that holds one was not read in full, so that nobody may call it clean.
 */
import { statusFromWords } from '../code-status.ts'
import type { UnreadCode } from '../document.ts'
import { type Cell, type Line, placeOfCells } from '../layout.ts'
import { columnOf } from '../page/tables.ts'
import type { Place, Problem } from '../reading.ts'
import { formatTroubleCode, parseTroubleCode } from '../trouble-code-bytes.ts'
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
  const digits = text.slice(1).replace(/[OQ]/g, '0').replace(/[Il]/g, '1').replace(/S/g, '5').replace(/Z/g, '2')
  const likely = LOOK_ALIKE.test(text) ? parseTroubleCode(text.charAt(0) + digits) : null
  if (likely) return { text, fault: 'look-alike', likely: formatTroubleCode(likely) }
  return { text, fault: LETTERED.test(text) ? 'structure' : 'own-number' }
}

/** Words and lines where a code should have been read; at most a hundred. */
function findWords(sheet: Sheet): { word: string; cells: readonly Cell[]; page: number }[] {
  const labelled = new Set(sheet.fields.filter(({ meanings }) => meanings.length > 0).map(({ line }) => line))
  const inTable = new Set<number>()
  const found: { word: string; cells: readonly Cell[]; page: number }[] = []
  for (const table of sheet.tables) {
    const column = columnOf(table, 'code')
    for (const { line, cells } of table.rows) {
      inTable.add(line.index)
      const cell = column < 0 ? undefined : cells[column]
      const word = cell?.text ?? ''
      const stands = CODE_LIKE.test(word) || LOOK_ALIKE.test(bare(word)) || LETTERED.test(bare(word))
      if (cell && stands && findTroubleCodes(line.text, { strictness: 'loose' }).length === 0)
        found.push({ word, cells: line.cells, page: line.page })
    }
  }
  for (const line of sheet.lines) {
    if (labelled.has(line.index) || inTable.has(line.index) || !endsInStatus(line)) continue
    const word = codeLikeWord(line)
    if (word !== null && findTroubleCodes(line.text).length === 0)
      found.push({ word, cells: line.cells, page: line.page })
  }
  return found.slice(0, 100)
}

/** Every code that was not read, with its place; one problem for each of the first three. */
export function findUnreadCodes(sheet: Sheet): UnreadCodes {
  const found = findWords(sheet)
  return {
    codes: found.map(({ word, cells }) => ({ reading: describeUnreadCode(word), place: placeOfCells(cells) })),
    problems: found.slice(0, 3).map(({ word, page }) => ({
      code: 'unread-code',
      message: `"${word}" on page ${page} stands where a trouble code does and is not of the form that is read`,
    })),
  }
}
