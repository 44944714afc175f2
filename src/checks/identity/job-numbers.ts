/** How job and claim numbers are written: with or without the name of the number, grouped, with a supplement's suffix. */
import type { Numbering } from './written-numbers.ts'

/** Names of the number, printed before it or run into it: "RO-4471", "W/O 4471", "No. 4471". */
const names =
  /^(?:R\.?\/?O|W\.?\/?O|JOB|ORDER|REPAIR|WORK|NO|NR|NUM|NUMBER|REF|EST|ESTIMATE|INV|INVOICE|CLAIM|CLM|FILE)(?![A-Z])[.:#\-\s/]*/

/** A label of something else ends the number where the two were read as one: "26-1183 VIN …". */
const nextLabel = /\s(?:VIN|CLAIM|PLATE|DATE|ODOMETER|CUSTOMER|VEHICLE)\b.*$/

/** What identifies, in the groups in which it is written; words without a digit before the first digit are names. */
function groupsOf(text: string): string[] {
  let rest = text
    .toUpperCase()
    .trim()
    .replace(nextLabel, '')
    .replace(/^[^A-Z0-9]+/, '')
  while (names.test(rest) && /\d/.test(rest.replace(names, ''))) rest = rest.replace(names, '')
  const words = rest.split(/\s+/)
  const first = words.findIndex((word) => /\d/.test(word))
  const named =
    first < 0
      ? []
      : words
          .slice(first)
          .join(' ')
          .split(/[^A-Z0-9]+/)
  return named.filter((group) => group !== '')
}

function bareOf(text: string): string {
  const bare = groupsOf(text).join('')
  return /^\d+$/.test(bare) ? bare.replace(/^0+(?=\d)/, '') : bare
}

/** Letters and digits of the groups before the last, and the last where it is no more than a supplement's number. */
function withoutSupplement(text: string): string | null {
  const groups = groupsOf(text)
  const base = groups.slice(0, -1).join('')
  return base.length >= 4 && /^[A-Z]?\d{0,2}$/.test(groups.at(-1) ?? '') ? base : null
}

/** The number without the letters before it, which may name the kind of paper or the branch. */
function digitsOnward(bare: string): string {
  return bare.replace(/^[A-Z]{1,5}(?=\d{3})/, '')
}

/** Job and claim numbers. One that lacks the other's letters in front or supplement behind is the same. */
export const jobNumbers: Numbering = {
  bare: bareOf,
  same(a, b) {
    const [one, two] = [bareOf(a), bareOf(b)]
    if (one === two || digitsOnward(one) === two || one === digitsOnward(two)) return true
    return withoutSupplement(a) === two || withoutSupplement(b) === one
  },
}
