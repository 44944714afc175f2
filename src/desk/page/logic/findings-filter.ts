/** Which findings the list shows. */
import type { Finding } from '../../../index.ts'

export interface FindingsFilter {
  /** A group of checks; null for all. */
  group: string | null
  /** A party that would be exposed; null for all. */
  party: string | null
}

/** A finding and its number, which is that of the report: from 1, worst first. */
export interface NumberedFinding {
  number: number
  finding: Finding
}

export interface FilteredFindings {
  /** Failing and warning: those that something follows from. */
  open: NumberedFinding[]
  notChecked: NumberedFinding[]
  pass: NumberedFinding[]
}

/** In the report's order. A party is exposed by what fails or warns; so its filter leaves out all else. */
export function filterFindings(findings: readonly Finding[], { group, party }: FindingsFilter): FilteredFindings {
  const fitting = findings
    .map((finding, at): NumberedFinding => ({ number: at + 1, finding }))
    .filter(({ finding }) => group === null || finding.group === group)
    .filter(({ finding }) => party === null || exposes(finding, party))
  const pick = (...verdicts: Finding['verdict'][]) =>
    fitting.filter(({ finding }) => verdicts.includes(finding.verdict))
  return { open: pick('fail', 'warn'), notChecked: pick('not-checked'), pass: pick('pass') }
}

const exposes = ({ verdict, exposure }: Finding, party: string): boolean =>
  (verdict === 'fail' || verdict === 'warn') && exposure.some((one) => one.party === party)

/** The number that is `step` further in a list; its first or last where the number is not in it or the list ends. */
export function stepNumber(numbers: readonly number[], now: number | null, step: 1 | -1): number | null {
  if (numbers.length === 0) return null
  const at = now === null ? -1 : numbers.indexOf(now)
  if (at === -1) return numbers[0] ?? null
  return numbers[Math.min(numbers.length - 1, Math.max(0, at + step))] ?? null
}
