/**
 * What stands where a trouble code should, and is none of the form that is read: a maker's own number, a code printed with
 * an odd mark, or a character misread. A scan that holds one was not read in full, so that nobody may call it clean.
 */
import { statusFromWords } from '../code-status.ts'
import type { Line } from '../layout.ts'
import { columnOf } from '../page/tables.ts'
import type { Problem } from '../reading.ts'
import { findTroubleCodes } from '../trouble-code-text.ts'
import type { Sheet } from './sheet.ts'

/** Four to seven hexadecimal digits, a decimal one among them; a letter before and a failure type behind may be tied on. */
const CODE_LIKE =
  /^[("[*#$]*(?:0x)?(?:\p{L}[-.]?)?(?=[0-9A-F]*\d)[0-9A-F]{4,7}(?:[-‐-―−:._/][0-9A-F]{2,3})?h?[)"\]*,;:]*$/iu

/** What follows such a number makes it a measurement, a year or a count of distance. */
const UNIT = /^(?:km|mi|miles|kilomet\w*|rpm|mv|v|volts?|s|sec|min|h|hours?|kpa|psi|mm|%)[.,;)]*$/i

/** The status that the last words of a line, or the words in its last brackets, tell. */
function endsInStatus(line: Line): boolean {
  const bracketed = /[([]([^)\]]{2,40})[)\]]\W*$/.exec(line.text)?.[1]
  const last = bracketed ?? line.text.split(/\s+/).slice(-2).join(' ')
  return statusFromWords(last) !== 'unknown'
}

function codeLikeWord(line: Line): string | null {
  const words = line.text.split(' ')
  const at = words.findIndex((word, i) => CODE_LIKE.test(word) && !UNIT.test(words[i + 1] ?? ''))
  return at < 0 ? null : (words[at] ?? null)
}

/** One problem for each line or row whose code was not read, at most three of them. */
export function findUnreadCodes(sheet: Sheet): Problem[] {
  const labelled = new Set(sheet.fields.filter(({ meanings }) => meanings.length > 0).map(({ line }) => line))
  const inTable = new Set<number>()
  const found: { word: string; line: Line }[] = []
  for (const table of sheet.tables) {
    const column = columnOf(table, 'code')
    for (const { line, cells } of table.rows) {
      inTable.add(line.index)
      const word = column < 0 ? undefined : cells[column]?.text
      if (
        word !== undefined &&
        CODE_LIKE.test(word) &&
        findTroubleCodes(line.text, { strictness: 'loose' }).length === 0
      )
        found.push({ word, line })
    }
  }
  for (const line of sheet.lines) {
    if (labelled.has(line.index) || inTable.has(line.index) || !endsInStatus(line)) continue
    const word = codeLikeWord(line)
    if (word !== null && findTroubleCodes(line.text).length === 0) found.push({ word, line })
  }
  return found.slice(0, 3).map(({ word, line }) => ({
    code: 'unread-code',
    message: `"${word}" on page ${line.page} stands where a trouble code does and is not of the form that is read`,
  }))
}
