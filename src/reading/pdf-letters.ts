/**
 * Headings set letter by letter ("I N V O I C E") and codes set one character a box are one word. What tells them from
 * a row of one-letter cells is regularity: the same gap between every two letters, or the same pitch.
 */
import { type Fragment, joinFragments } from './pdf-fragments.ts'

const oneCharacter = /^[\p{L}\p{N}&/.:-]$/u
const letter = /^\p{L}$/u

function median(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b)
  return sorted[Math.floor((sorted.length - 1) / 2)] ?? 0
}

function follows(before: Fragment, after: Fragment): boolean {
  const em = before.size
  const gap = after.start - before.end
  return (
    before.alongX * after.alongX + before.alongY * after.alongY > 0.999 &&
    Math.abs(before.across - after.across) < 0.1 * em &&
    Math.abs(before.size - after.size) < 0.1 * em &&
    gap > 0 &&
    gap < 4 * em
  )
}

/** Cuts where the gap is clearly wider than usual: between the words of a spaced-out line. */
function groupsOf(run: readonly Fragment[], gaps: readonly number[], usual: number, em: number): Fragment[][] {
  const groups: Fragment[][] = []
  run.forEach((part, index) => {
    const gap = gaps[index - 1]
    if (gap === undefined || gap > Math.max(1.5 * usual, usual + 0.2 * em)) groups.push([part])
    else groups.at(-1)?.push(part)
  })
  return groups
}

function near(value: number, usual: number, em: number): boolean {
  return Math.abs(value - usual) <= Math.max(0.12 * usual, 0.03 * em)
}

function joinRun(run: readonly Fragment[]): Fragment[] {
  const em = run[0]?.size ?? 0
  if (run.length < 4) return [...run]
  const between = <T>(value: (before: Fragment, after: Fragment) => T): T[] =>
    run.slice(1).flatMap((after, index) => {
      const before = run[index]
      return before ? [value(before, after)] : []
    })
  const gaps = between((before, after) => after.start - before.end)
  const usual = median(gaps)
  const letters = run.filter((part) => letter.test(part.text)).length
  const groups = groupsOf(run, gaps, usual, em)
  const within = groups.flatMap((group) => group.slice(1).map((part, index) => part.start - (group[index]?.end ?? 0)))
  const spaced = within.length > 0 && within.every((gap) => near(gap, usual, em)) && usual <= 0.9 * em
  if (spaced && (letters >= 0.6 * run.length || usual < 0.2 * em || run.length >= 11)) {
    return groups.map((group) => joinGroup(group))
  }
  // One character a box: centres at one pitch. Eleven or more, so that a row of digits in cells stays what it is.
  const pitches = between((before, after) => (after.start + after.end - before.start - before.end) / 2)
  const pitch = median(pitches)
  const boxed = run.length >= 11 && pitch <= 3 * em && pitches.every((value) => Math.abs(value - pitch) < 0.06 * pitch)
  return boxed && letters > 0 ? [joinGroup(run)] : [...run]
}

function joinGroup(group: readonly Fragment[]): Fragment {
  const [first, ...others] = group
  if (!first) throw new RangeError('a group of letters is never empty')
  return joinFragments(first, others)
}

/** Joins regular runs of one-character fragments; everything else stays as it is and in its order. */
export function joinSpacedLetters(fragments: readonly Fragment[]): Fragment[] {
  const joined: Fragment[] = []
  let run: Fragment[] = []
  const flush = () => {
    joined.push(...joinRun(run))
    run = []
  }
  for (const fragment of fragments) {
    const single = oneCharacter.test(fragment.text)
    const last = run.at(-1)
    if (last && !(single && follows(last, fragment))) flush()
    if (single) run.push(fragment)
    else joined.push(fragment)
  }
  flush()
  return joined
}
