/** Whether one value is set in fonts that do not belong together, as where a part of it was put in later. */
import type { FontRun } from './pdf-fragments.ts'

/** What makes bold, italic and other cuts of one family; PS and MT are how some foundries end their names. */
const cuts =
  /(?:thin|light|regular|roman|book|medium|semi|demi|extra|ultra|bold|black|heavy|italic|oblique|it|obl|psmt|ps|mt)+$/i
/** Names that writers number their fonts by. */
const numbered = /^(?:cidfont\+)?[a-z]{1,4}[-_]?\d*(?:[-_][a-z]?\d+)*$/i

const known = new Map<string, string | null>()

/** `LiberationSans-Bold` → `liberationsans`: one for all cuts of a family. Null for a name that tells nothing. */
export function familyOf(font: string): string | null {
  const found = known.get(font)
  if (found !== undefined) return found
  const [stem = ''] = font.split(/[-,]/, 1)
  const family = numbered.test(font) || stem.length < 4 ? null : stem.replace(cuts, '').toLowerCase() || null
  known.set(font, family)
  return family
}

/** A label and its value may stand together without a space. */
const borders = /([:#=()[\]*|])/
const letter = /[A-Za-z0-9]/

/**
 * The families, in order, of a stretch with a digit in it and two families among its letters and digits; null where there
 * is none. Signs do not count: many fonts lack some, and another stands in for them. Nor do the cuts of one family: some
 * forms print the end of a VIN in bold.
 */
export function mixedFamilies(runs: readonly FontRun[]): string[] | null {
  if (runs.length < 2) return null
  let text = ''
  let families = new Set<string>()
  for (const { text: whole, family } of runs)
    for (const piece of whole.split(borders)) {
      if (borders.test(piece)) {
        if (isOdd(text, families)) return [...families]
        text = ''
        families = new Set()
        continue
      }
      text += piece
      if (family !== null && letter.test(piece)) families.add(family)
    }
  return isOdd(text, families) ? [...families] : null
}

const isOdd = (text: string, families: ReadonlySet<string>): boolean => families.size > 1 && /\d/.test(text)
