/**
 * Headings set letter by letter ("I N V O I C E") and codes set one character a box are one word. What tells them from
 * a row of one-letter cells is regularity: the same gap between every two letters, or the same pitch.
 */
import { median } from './median.ts'
import { type Fragment, joinFragments } from './pdf-fragments.ts'

/** Kerning sets pairs such as AT closer than the rest, so a spaced-out heading has a few parts of two or three. */
const few = /^[\p{L}\p{N}&/.:-]{1,3}$/u
const letter = /^\p{L}+$/u

function follows(before: Fragment, after: Fragment): boolean {
  const em = before.size
  const gap = after.start - before.end
  return (
    before.alongX * after.alongX + before.alongY * after.alongY > 0.999 &&
    Math.abs(before.across - after.across) < 0.1 * em &&
    Math.abs(before.size - after.size) < 0.1 * em &&
    gap > 0 &&
    gap < 5 * em
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

function between(run: readonly Fragment[], value: (before: Fragment, after: Fragment) => number): number[] {
  return run.slice(1).flatMap((after, index) => {
    const before = run[index]
    return before ? [value(before, after)] : []
  })
}

const gapBetween = (before: Fragment, after: Fragment) => after.start - before.end

/** Letters set apart by tracking: no space characters within a word, and gaps narrower than a typed space. */
function joinTracked(run: readonly Fragment[], gaps: readonly number[], em: number): Fragment[] | null {
  const usual = median(gaps)
  const single = run.filter((part) => part.text.length === 1).length / run.length
  const letters = run.filter((part) => letter.test(part.text)).length / run.length
  const narrow = usual < 0.22 * em && single >= 0.5
  const wide = usual < 0.6 * em && single >= 0.7 && letters === 1
  if (!narrow && !wide) return null
  const groups: Fragment[][] = []
  run.forEach((part, index) => {
    const gap = gaps[index - 1]
    if (gap === undefined || part.spaceBefore || gap > usual + 0.2 * em) groups.push([part])
    else groups.at(-1)?.push(part)
  })
  const even = groups.every((group) => between(group, gapBetween).every((gap) => gap <= usual + 0.1 * em))
  return even ? groups.map(joinGroup) : null
}

/** Letters set apart by typed spaces: the same gap every time, a wider one between words. */
function joinTyped(run: readonly Fragment[], gaps: readonly number[], em: number): Fragment[] | null {
  const usual = median(gaps)
  const letters = run.filter((part) => letter.test(part.text)).length
  const groups = groupsOf(run, gaps, usual, em)
  const within = groups.flatMap((group) => between(group, gapBetween))
  const even = within.length > 0 && within.every((gap) => near(gap, usual, em)) && usual <= 0.9 * em
  return even && (letters >= 0.6 * run.length || run.length >= 11) ? groups.map(joinGroup) : null
}

/** One character a box: centres at one pitch. Eleven or more, so that a row of digits in cells stays what it is. */
function joinBoxed(run: readonly Fragment[], em: number): Fragment[] | null {
  const pitches = between(run, (before, after) => (after.start + after.end - before.start - before.end) / 2)
  const pitch = median(pitches)
  const even = pitch <= 4 * em && pitches.every((value) => Math.abs(value - pitch) < 0.06 * pitch)
  return run.length >= 11 && even && run.some((part) => letter.test(part.text)) ? [joinGroup(run)] : null
}

function joinRun(run: readonly Fragment[]): Fragment[] {
  const em = run[0]?.size ?? 0
  const characters = run.reduce((sum, part) => sum + part.text.length, 0)
  if (run.length < 3 || characters < 4) return [...run]
  const gaps = between(run, gapBetween)
  const typed = run.slice(1).filter((part) => part.spaceBefore).length
  if (2 * typed < gaps.length) {
    const tracked = joinTracked(run, gaps, em)
    if (tracked) return tracked
  }
  // A label before a code ("VIN", "No.") is short enough to be in the run, but no part of it.
  const parts: Fragment[][] = []
  for (const part of run) {
    const last = parts.at(-1)
    if (last?.[0]?.text.length === 1 && part.text.length === 1) last.push(part)
    else parts.push([part])
  }
  return parts.flatMap((part) => {
    if (part.length < 4) return part
    return joinTyped(part, between(part, gapBetween), em) ?? joinBoxed(part, em) ?? part
  })
}

function joinGroup(group: readonly Fragment[]): Fragment {
  const [first, ...others] = group
  if (!first) throw new RangeError('a group of letters is never empty')
  return joinFragments(first, others)
}

/** Joins regular runs of single letters; everything else stays as it is and in its order. */
export function joinSpacedLetters(fragments: readonly Fragment[]): Fragment[] {
  const joined: Fragment[] = []
  let run: Fragment[] = []
  const flush = () => {
    joined.push(...joinRun(run))
    run = []
  }
  for (const fragment of fragments) {
    const short = few.test(fragment.text)
    const last = run.at(-1)
    if (last && !(short && follows(last, fragment))) flush()
    if (short) run.push(fragment)
    else joined.push(fragment)
  }
  flush()
  return joined
}
