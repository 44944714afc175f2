/**
 * Measured values in running text, each with its limits in brackets behind it: "the learned pitch is 0.4° (allowed −1° to 1°)
 * and the yaw is …". A sentence runs over the ends of lines and may hold several.
 */
import { type Line, placeOf } from '../layout.ts'
import { findParagraphs } from '../page/prose.ts'
import { type Limits, type Measured, readLimits, readQuantity } from '../quantity.ts'
import type { Place } from '../reading.ts'
import type { Sheet } from './sheet.ts'

export interface SaidValue {
  name: string
  quantity: Measured
  limits: Limits
  /** What stands in the brackets with the limits, and behind them up to the next clause. */
  bracketed: string
  behind: string
  place: Place
  /** All lines from the name to the end of the limits. */
  lines: readonly Line[]
}

const VALUE = /(?<=\s)([+\-−–]?\d[\d.,]*\s?[^\s\d()[\]]{0,8})\s[([]([^()[\]]{3,60})[)\]]/g

/** Where the words that name a value begin. */
const CLAUSE = /^.*(?:[.;,:()[\]]\s|\b(?:and|with|while|but)\s)/s

const IS = /\s(?:is|was|are|were|reads?|stands? at|stood at|came to|comes to|of)$/i

/** "After the drive the roll": up to the article that begins a name anew, as that of "the pitch of the camera" does not. */
const ARTICLE = /^.*(?<!\b(?:of|for|in|on|at|to|from|by|after|before|during|under))\s(?:the|a|an|its|their|our)\s/i

/** "the learned pitch is" → "learned pitch"; null for words that name nothing. */
function nameBefore(text: string): string | null {
  const clause = text.trimEnd().replace(CLAUSE, '')
  if (!IS.test(clause)) return null
  const name = ` ${clause.replace(IS, '')}`.replace(ARTICLE, '').trim()
  return /^\p{L}[\p{L}\p{N} /'’-]*$/u.test(name) && name.split(' ').length <= 6 ? name : null
}

/** The values that the sentences between two lines tell, in reading order. */
export function findSaidValues(sheet: Sheet, from: number, to: number): SaidValue[] {
  return findParagraphs(sheet.layout).flatMap((paragraph) => {
    const starts: number[] = []
    let text = ''
    for (const { word } of paragraph) {
      starts.push(text.length)
      text += `${word.text} `
    }
    return [...text.matchAll(VALUE)].flatMap((found): SaidValue[] => {
      const before = text.slice(Math.max(0, found.index - 80), found.index)
      const name = nameBefore(before)
      const quantity = readQuantity(found[1] ?? '', { decimal: sheet.decimal })
      const limits = readLimits(found[2] ?? '', { decimal: sheet.decimal })
      if (name === null || quantity === null || limits === null) return []
      const begin = found.index - before.length + before.lastIndexOf(name)
      const end = found.index + found[0].length
      const said = paragraph.filter((_, i) => (starts[i] ?? 0) >= begin && (starts[i] ?? 0) < end)
      const first = said[0]?.line
      if (first === undefined || first.index < from || first.index >= to) return []
      const words = said.filter(({ line }) => line === first).map(({ word }) => word)
      const behind = text.slice(end, end + 60).split(/[.;]|\band\b/)[0] ?? ''
      const place = placeOf(first.page, words)
      return [{ name, quantity, limits, bracketed: found[2] ?? '', behind, place, lines: said.map(({ line }) => line) }]
    })
  })
}
