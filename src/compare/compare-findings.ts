/** What became of each finding, and which changes of facts and files it rests on. */
import type { FilePlace } from '../facts/reading.ts'
import type { Finding, Verdict } from '../findings/report.ts'
import type { FoundChange } from './compare-facts.ts'
import { type FileChange, type FindingChange, type FindingChangeKind, findingChangeKinds } from './comparison.ts'
import type { MatchedFindings } from './match-findings.ts'

/** Those that say something else now, and those that still fail or warn; others are left out. */
export function compareFindings(
  matches: readonly MatchedFindings[],
  files: readonly FileChange[],
  facts: readonly FoundChange[],
): FindingChange[] {
  const places = { before: indexPlaces(facts, 'before'), after: indexPlaces(facts, 'after') }
  const changes = matches.flatMap((match): FindingChange[] => {
    const { before, after } = withoutLost(match, files)
    const change = changeOf(before?.verdict ?? null, after?.verdict ?? null)
    const finding = before ?? after
    if (change === null || finding === null) return []
    const { check, group, claim } = finding
    const sides = { before: before && sideOf(before), after: after && sideOf(after) }
    const rests = [...factsOf(before, places.before), ...factsOf(after, places.after)]
    const base = { facts: sortDistinct(rests), files: filesOf(before, after, files) }
    return [{ change, check, group, claim, ...sides, ...base }]
  })
  // Stable: findings of one kind stay in the order of the reviews, which is worst first.
  return changes.sort((a, b) => findingChangeKinds.indexOf(a.change) - findingChangeKinds.indexOf(b.change))
}

/** What is said of the whole packet answers nothing that rests on a file which only one of the two holds. */
function withoutLost(match: MatchedFindings, files: readonly FileChange[]): Sides {
  const { before, after, isWhole } = match
  if (!isWhole) return match
  const [one, other] = [before !== null && isOpen(before.verdict), after !== null && isOpen(after.verdict)]
  const open = { before: one ? before : null, after: other ? after : null }
  const rests = filesOf(open.before, open.after, files).map((index) => files[index])
  return rests.some((file) => file?.change === 'added' || file?.change === 'removed') ? open : match
}

interface Sides {
  before: Finding | null
  after: Finding | null
}

const isOpen = (verdict: Verdict | null): boolean => verdict === 'fail' || verdict === 'warn'

/** Null for what is as quiet as it was. */
function changeOf(before: Verdict | null, after: Verdict | null): FindingChangeKind | null {
  if (isOpen(before) && isOpen(after)) return before === after ? 'unchanged' : after === 'fail' ? 'worsened' : 'eased'
  if (isOpen(after)) return 'new'
  if (after === 'not-checked' && before !== null && before !== after) return 'undecided'
  if (isOpen(before)) return after === 'pass' ? 'settled' : 'not-raised'
  return before === 'not-checked' && after === 'pass' ? 'decided' : null
}

const sideOf = ({ verdict, message, reason, evidence }: Finding) => ({ verdict, message, reason, evidence })

function filesOf(before: Finding | null, after: Finding | null, files: readonly FileChange[]): number[] {
  const [one, other] = [before, after].map((finding) => new Set(finding?.evidence.map(({ file }) => file)))
  return files.flatMap((file, index) =>
    (file.before && one?.has(file.before.file)) || (file.after && other?.has(file.after.file)) ? [index] : [],
  )
}

/** By file and page: where changed facts stand, with the index of each. */
type Places = ReadonlyMap<string, readonly { place: FilePlace; fact: number }[]>

const pageKey = ({ file, page }: FilePlace): string => JSON.stringify([file, page ?? null])

function indexPlaces(facts: readonly FoundChange[], side: 'before' | 'after'): Places {
  const spots = facts.flatMap((fact, index) => (fact[side]?.places ?? []).map((place) => ({ place, fact: index })))
  return Map.groupBy(spots, ({ place }) => pageKey(place))
}

const factsOf = (finding: Finding | null, places: Places): number[] =>
  (finding?.evidence ?? []).flatMap((place) =>
    (places.get(pageKey(place)) ?? []).flatMap((spot) => (isSamePlace(place, spot.place) ? [spot.fact] : [])),
  )

const sortDistinct = (numbers: readonly number[]): number[] => [...new Set(numbers)].sort((a, b) => a - b)

/** Do both places of one page show the same words? A place without a box shows a file as a whole, and no words. */
function isSamePlace(one: FilePlace, other: FilePlace): boolean {
  if (one.box === undefined || other.box === undefined) return false
  const [left, top, right, bottom] = one.box
  const [otherLeft, otherTop, otherRight, otherBottom] = other.box
  return left <= otherRight && otherLeft <= right && top <= otherBottom && otherTop <= bottom
}
