/**
 * Which finding of the one review is which of the other: by check, by message, and by what they are about, which their
 * data and places tell. Their sentences do not count: a corrected number changes a sentence, and not what it is about.
 */
import type { Finding } from '../findings/report.ts'
import { countEntries, type Pairing, pairByKey, pairByScore, pairOnly, shareOf, startPairing } from './pairing.ts'

export interface MatchedFindings {
  before: Finding | null
  after: Finding | null
  /** One of them is no match, but what the check says of the whole packet. */
  isWhole: boolean
}

/** Gives a file its name in the comparison: the same for both names of one file. */
export type FileNames = (file: string) => string

export interface NamedFindings {
  findings: readonly Finding[]
  nameFile: FileNames
}

/** Every finding of both; those of one check stand together. */
export function matchFindings(before: NamedFindings, after: NamedFindings): MatchedFindings[] {
  const checks = [...new Set([...before.findings, ...after.findings].map(({ check }) => check))]
  return checks.flatMap((check) => {
    const of = ({ findings, nameFile }: NamedFindings) =>
      findings
        .filter((finding) => finding.check === check)
        .map((finding) => ({ finding, about: aboutOf(finding, nameFile) }))
    return answerWhole(matchCheck(of(before), of(after)))
  })
}

interface Described {
  finding: Finding
  about: ReadonlyMap<string, number>
}

/** A third of what they are about. */
const leastShare = 1 / 3

function matchCheck(before: readonly Described[], after: readonly Described[]): MatchedFindings[] {
  const score = (one: number, other: number): number => {
    const [a, b] = [before[one], after[other]]
    return a && b ? shareOf(a.about, b.about) : 0
  }
  const alike = (one: number, other: number): number =>
    before[one]?.finding.message === after[other]?.finding.message ? score(one, other) : 0
  let pairing = startPairing(before.length, after.length)
  pairing = pairByKey(pairing, before, after, ({ finding, about }) =>
    JSON.stringify([finding.message, [...about].sort()]),
  )
  pairing = pairByScore(pairing, alike, leastShare)
  pairing = pairOnly(pairing, before, after, ({ finding }) => finding.message)
  pairing = pairByScore(pairing, score, leastShare)
  // One claim, about one thing: the last two answer each other.
  pairing = pairOnly(pairing, before, after, () => 'last')
  return listMatches(pairing, before, after)
}

function listMatches(
  { pairs, first, second }: Pairing,
  before: readonly Described[],
  after: readonly Described[],
): MatchedFindings[] {
  const pick = (list: readonly Described[], index: number) => list[index]?.finding ?? null
  return [
    ...pairs.map(([one, other]) => ({ before: pick(before, one), after: pick(after, other), isWhole: false })),
    ...first.map((one) => ({ before: pick(before, one), after: null, isWhole: false })),
    ...second.map((other) => ({ before: null, after: pick(after, other), isWhole: false })),
  ]
}

/** Where a check says one thing of the whole packet now, met or undecided, that answers all that it said before. */
function answerWhole(matches: MatchedFindings[]): MatchedFindings[] {
  const answerOf = (side: 'before' | 'after'): Finding | null => {
    const said = matches.flatMap((match) => match[side] ?? [])
    const [first] = said
    if (!first || !isQuiet(first) || said.some(({ verdict }) => verdict !== first.verdict)) return null
    return said.length === 1 ? first : { ...first, reason: first.claim, evidence: [] }
  }
  const [before, after] = [answerOf('before'), answerOf('after')]
  return matches.map((match) => {
    const isOpen = [match.before, match.after].some((finding) => finding !== null && !isQuiet(finding))
    if (!isOpen || (match.before && match.after)) return match
    return { before: match.before ?? before, after: match.after ?? after, isWhole: true }
  })
}

const isQuiet = ({ verdict }: Finding): boolean => verdict === 'pass' || verdict === 'not-checked'

/** Words of its data and places, with files by their names in the comparison. */
function aboutOf({ data, evidence }: Finding, nameFile: FileNames): ReadonlyMap<string, number> {
  const names = new Map(evidence.map(({ file }) => [file, nameFile(file)]))
  const tell = (value: unknown): string[] => {
    if (Array.isArray(value)) return value.flatMap(tell)
    const text = String(value)
    return names.has(text) ? [names.get(text) ?? text] : split(text)
  }
  const told = Object.values(data).flatMap(tell)
  const places = evidence.flatMap(({ file, text }) => [names.get(file) ?? file, ...split(text.slice(0, mostLetters))])
  return countEntries([...told, ...places])
}

/** Of the words of one place. */
const mostLetters = 200

const split = (text: string): string[] => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []
