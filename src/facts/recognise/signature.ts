/** Who signed a note of the work with nothing but a name, as people do at the foot of what they wrote down themselves. */
import type { DocumentFacts } from '../document.ts'
import { type Line, placeOfCells } from '../layout.ts'
import type { Place } from '../reading.ts'
import { nameIn } from './people.ts'
import { datesIn, type Sheet } from './sheet.ts'

/** What stands in the last line of a note and is no name, though it is written like one: "All Good", "Corvane Glass". */
const NO_SIGNATURE =
  /\b(?:all|auto|body|calibrations?|collision|complete[ds]?|done|end|finished|glass|gmbh|good|inc|job|llc|ltd|motors?|notes?|of|page|quality|regards|repairs?|replaced|report|scan|service|shop|thanks?|vehicle|windshield|work|you)\b/i
/** The head or the close of a letter, whose writer need not be who did the work. */
const LETTER =
  /^(?:from|to|cc|sent|subject|von|an|betreff|de|para|asunto|objet)\s*:|^(?:dear|hello|hi)\b.{0,40}[,:]$|\b(?:regards|sincerely|faithfully|cheers)\b/i
const DASH = /^(?:[-–—~]+|\/s\/|x:?)\s*/i
const INITIALS = /^\p{Lu}\.?[ ]?\p{Lu}\.?(?:[ ]?\p{Lu}\.?)?$/u
/** As many ways in which the work was prepared make a text an account of who prepared it. */
const leastConditions = 2

/** The name at the foot of a page: alone and set apart, behind a dash, or with a date. Initials need the one or the other. */
function nameOn(sheet: Sheet, line: Line): string | null {
  if (line.cells.length !== 1) return null
  const date = datesIn(sheet, line.text)[0]?.text
  const undated =
    date === undefined ? line.text : line.text.replace(date, '').replace(/^[\s,;:·|/-]+|[\s,;:·|/-]+$/g, '')
  const hasDash = DASH.test(undated)
  const name = undated.replace(DASH, '').trim()
  if (NO_SIGNATURE.test(name)) return null
  if (INITIALS.test(name)) return hasDash || date !== undefined ? name : null
  const isApart = hasDash || date !== undefined || line.gapAbove > 0.5 * line.size
  return isApart && nameIn(name) === name ? name : null
}

/**
 * The technician of a note that tells in sentences how the work was prepared and names nobody under a label: who signed it.
 * Null for letters, and where the note speaks of anybody else: somebody may have signed it for another.
 */
export function readSignature(
  sheet: Sheet,
  { kind, kindFrom, technician, people, statements = [], conditions = [] }: DocumentFacts,
): { name: string; place: Place } | null {
  if (kind !== 'statement' || kindFrom !== 'content' || technician !== undefined || people !== undefined) return null
  if (conditions.length < leastConditions || statements.some(({ about }) => about === 'released')) return null
  if (sheet.lines.some(({ text }) => LETTER.test(text))) return null
  const last = sheet.lines.at(-1)
  const name = last ? nameOn(sheet, last) : null
  return last && name !== null ? { name, place: placeOfCells(last.cells) } : null
}
