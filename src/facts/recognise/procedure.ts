/** The service information that a calibration followed, where no label of its own part says so. */
import { placeOf, placeOfCells } from '../layout.ts'
import { PARTIAL_RANK } from '../page/label-spots.ts'
import { findParagraphs } from '../page/prose.ts'
import type { Place } from '../reading.ts'
import { datesIn, fieldsFor, type Sheet } from './sheet.ts'

/** Labels that can mean nothing else; a plain "Reference" at the head of a record may be the job's. */
const PLAIN = /procedure|instruction|bulletin|manual|information|service (?:doc|ref|info)/i

/** "SDX 9-455": letters, then numbers set apart by hyphen, stroke or point; and then the date of issue. */
const DOCUMENT =
  /(?<![\p{L}\d-])\p{Lu}{2,6}(?:[ -]\p{Lu}{1,4})?(?: \p{Ll}{3,12})?[ -]?\d{1,4}[-./]\d{1,5}(?=,? (?:\(|of |dated |issued |rev\.? )|, )/u

/** What such a mark is where these words stand before it. */
const OTHER_MARK =
  /\b(?:order|job|claim|invoice|estimate|report|certificate|record|serial|part|session|ticket|file|vin|no|number)\W*$/i

export interface ProcedureFound {
  text: string
  place: Place
}

/** What the head of a record says, before the first part that tells of one sensor alone: it speaks of all of them. */
export function procedureOfHead(sheet: Sheet, headEnd: number): ProcedureFound | null {
  const field = fieldsFor(sheet, 'procedure', 0, headEnd).find(({ label, value, meanings }) => {
    const known = meanings.some(({ key, rank }) => key === 'procedure' && rank < PARTIAL_RANK)
    return known && PLAIN.test(label) && /\d/.test(value)
  })
  return field ? { text: field.value, place: field.place } : null
}

/** "according to Zellan instruction ZI-77": what was followed, by its name and mark. */
const FOLLOWED =
  /\b(?:according to|in accordance with|as set out in|as told in|following|followed|as per|per|under|by) (?:the )?((?:\p{Lu}[\p{L}\p{N}'’-]* ){0,3}(?:\p{Ll}+ )?(?:procedure|instructions?|bulletin|manual|guide|service information) (?:no\.? )?(?=\S*\d)[A-Z][A-Z0-9./-]*[A-Z0-9])/u

/** The procedure that a sentence says was followed, which may run over the ends of lines, with its date of issue if that stands behind it. */
function procedureInSentence(sheet: Sheet, from: number, to: number): ProcedureFound | null {
  for (const paragraph of findParagraphs(sheet.layout)) {
    const text = paragraph.map(({ word }) => word.text).join(' ')
    const found = FOLLOWED.exec(text)
    if (!found?.[1]) continue
    const start = found.index + found[0].length - found[1].length
    const behind = text.slice(found.index + found[0].length).slice(0, 40)
    const date = /^,? (?:\(|of |dated |issued )/.test(behind) ? datesIn(sheet, behind)[0] : undefined
    const at = date ? behind.indexOf(date.text) : -1
    const end = found.index + found[0].length + (date && at >= 0 && at <= 9 ? at + date.text.length : 0)
    let length = 0
    const said = paragraph.filter(({ word }) => {
      const begin = length
      length += word.text.length + 1
      return begin >= start && begin < end
    })
    const line = said[0]?.line
    if (line === undefined || line.index < from || line.index >= to) continue
    const cited = text.slice(start, end)
    const words = said.filter((one) => one.line === line).map(({ word }) => word)
    return { text: cited.includes('(') ? `${cited})` : cited, place: placeOf(line.page, words) }
  }
  return null
}

/** A document's mark with its date of issue, wherever it stands between two lines. */
export function procedureInText(sheet: Sheet, from: number, to: number): ProcedureFound | null {
  const followed = procedureInSentence(sheet, from, to)
  if (followed) return followed
  // A part that opens a page may look like a repeated head of page, so that all lines are looked at.
  for (const line of sheet.layout.lines) {
    if (line.index < from || line.index >= to) continue
    const found = DOCUMENT.exec(line.text)
    if (!found || OTHER_MARK.test(line.text.slice(0, found.index))) continue
    const behind = line.text.slice(found.index + found[0].length, found.index + found[0].length + 30)
    const date = datesIn(sheet, behind)[0]
    if (!date || behind.indexOf(date.text) > 9) continue
    const end = found.index + found[0].length + behind.indexOf(date.text) + date.text.length
    const text = line.text.slice(found.index, end)
    return { text: text.includes('(') ? `${text})` : text, place: placeOfCells(line.cells) }
  }
  return null
}
