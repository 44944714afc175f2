/** Verdicts by how bad they are. */
import type { Verdict } from '../findings/report.ts'

const worstFirst: readonly Verdict[] = ['fail', 'warn', 'not-checked', 'pass']

/** For sorting: worst first. */
export function compareVerdicts(a: Verdict, b: Verdict): number {
  return worstFirst.indexOf(a) - worstFirst.indexOf(b)
}

/** The worst verdict among findings; `not-checked` for none. */
export function worstVerdict(findings: readonly { verdict: Verdict }[]): Verdict {
  return worstFirst.find((verdict) => findings.some((finding) => finding.verdict === verdict)) ?? 'not-checked'
}
