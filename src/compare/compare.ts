/** What changed between two submissions of one packet. */
import type { Report } from '../findings/report.ts'
import { compareFacts, type FoundChange } from './compare-facts.ts'
import { compareFindings } from './compare-findings.ts'
import { compareWords } from './compare-words.ts'
import {
  type ComparedSide,
  type Comparison,
  type FactChange,
  type FileChange,
  type FileChangeKind,
  type FindingChange,
  findingChangeKinds,
} from './comparison.ts'
import { type DiffBudget, startBudget } from './diff-words.ts'
import { type MatchedFiles, matchFiles } from './match-files.ts'
import { matchFindings } from './match-findings.ts'
import { listParts, type Part, sideOf } from './part.ts'
import type { Submission } from './submission.ts'

/** More changed facts are counted. */
const mostFacts = 1000

/**
 * Compares two submissions: files, the facts and words of those that are in both, and findings.
 *
 * Pure, and bounded whatever the files hold. Read backwards it tells the same: what is added in the one direction is
 * removed in the other. Both should be weighed by one rulebook as of one day; where they are not, a caution says so.
 */
export function compareSubmissions(before: Submission, after: Submission): Comparison {
  const [parts, otherParts] = [listParts(before), listParts(after)]
  const matched = matchFiles(parts, otherParts).sort(byName)
  const budget = startBudget()
  const files = matched.flatMap((match) => compareFile(match, budget))
  const facts = matched.flatMap(({ before, after }) =>
    before && after && changeOf(before, after) !== null ? compareFacts(before, after) : [],
  )
  const names = nameFiles(matched)
  const matches = matchFindings(
    { findings: before.report.findings, nameFile: names.before },
    { findings: after.report.findings, nameFile: names.after },
  )
  const findings = compareFindings(matches, files, facts)
  const ordered = orderFacts(facts, findings)
  return {
    comparison: 1,
    before: describeSide(before.report, parts),
    after: describeSide(after.report, otherParts),
    identical: files.length === 0,
    files,
    sameFiles: matched.filter(({ before, after }) => before && after && changeOf(before, after) === null).length,
    ...ordered,
    counts: countChanges(findings),
    cautions: listCautions(before.report, after.report),
  }
}

/** The lesser of its two names comes first; backwards it is the same. */
function byName(a: MatchedFiles, b: MatchedFiles): number {
  const nameOf = ({ before, after }: MatchedFiles): string =>
    [before, after].flatMap((part) => part?.file ?? []).sort()[0] ?? ''
  return nameOf(a) < nameOf(b) ? -1 : nameOf(a) > nameOf(b) ? 1 : 0
}

/** Null for files that are the same by name and content. */
function changeOf(before: Part, after: Part): FileChangeKind | null {
  const isRenamed = before.file !== after.file
  if (before.sha256 === '' || after.sha256 === '') return 'not-compared'
  if (before.sha256 === after.sha256) return isRenamed ? 'renamed' : null
  return isRenamed ? 'renamed-and-changed' : 'changed'
}

function compareFile({ before, after, matchedBy }: MatchedFiles, budget: DiffBudget): FileChange[] {
  if (before === null || after === null) {
    const sides = { before: before && sideOf(before), after: after && sideOf(after) }
    return [{ change: before === null ? 'added' : 'removed', matchedBy, ...sides, words: null }]
  }
  const change = changeOf(before, after)
  if (change === null) return []
  const isChanged = change === 'changed' || change === 'renamed-and-changed'
  const words = isChanged ? compareWords(before, after, budget) : null
  return [{ change, matchedBy, before: sideOf(before), after: sideOf(after), words }]
}

/** One name for both names of a file, that no file has. */
function nameFiles(matched: readonly MatchedFiles[]) {
  const names = (side: 'before' | 'after') => {
    const known = new Map(matched.map((match, index) => [match[side]?.file, `file:${index}`]))
    return (file: string): string => known.get(file) ?? file
  }
  return { before: names('before'), after: names('after') }
}

/** Those that a finding rests on come first, and both lists point at each other. */
function orderFacts(
  facts: readonly FoundChange[],
  findings: readonly FindingChange[],
): Pick<Comparison, 'facts' | 'factsLeft' | 'findings'> {
  const linked = facts.map((fact, index) => ({
    index,
    fact: { ...fact, findings: findings.flatMap((finding, at) => (finding.facts.includes(index) ? [at] : [])) },
  }))
  const isUsed = ({ fact }: { fact: FactChange }) => fact.findings.length > 0
  const sorted = [...linked.filter(isUsed), ...linked.filter((one) => !isUsed(one))].slice(0, mostFacts)
  const places = new Map(sorted.map(({ index }, at) => [index, at]))
  return {
    facts: sorted.map(({ fact }) => fact),
    factsLeft: facts.length - sorted.length,
    findings: findings.map((finding) => ({
      ...finding,
      facts: finding.facts.flatMap((index) => places.get(index) ?? []).sort((a, b) => a - b),
    })),
  }
}

function describeSide(report: Report, parts: readonly Part[]): ComparedSide {
  const { packet, digest, reviewed, rulebook, verdict, counts, vehicle } = report
  return { packet, digest, reviewed, rulebook, verdict, counts, vehicle, files: parts.length }
}

function countChanges(findings: readonly FindingChange[]): Comparison['counts'] {
  const counts = findingChangeKinds.map((kind) => [kind, findings.filter(({ change }) => change === kind).length])
  return Object.fromEntries(counts) as Comparison['counts']
}

function listCautions(before: Report, after: Report): string[] {
  const isWeighedAlike = before.rulebook.sha256 === after.rulebook.sha256 && before.reviewed === after.reviewed
  return [
    'A change is not an accusation. Files are replaced, mended and named anew for good reasons; a person decides, after looking at both places.',
    'Facts and words are compared as they were read. Where a file was only drawn or scanned anew, the reading may differ and the file may not.',
    'A finding that is settled says that the records agree now. It does not say which of them is right.',
    ...(isWeighedAlike
      ? []
      : ['The two were weighed by different rulebooks or as of different days: findings may differ for that alone.']),
  ]
}
