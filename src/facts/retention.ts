/** How long a packet is kept, by the rules of a rulebook. */

export interface RetentionRule {
  name: string
  /** Verdicts of the last report that the rule is for; any, and packets without a report, when absent. */
  verdicts?: readonly ('pass' | 'warn' | 'fail')[]
  /** Whole years from the day on which the packet was received. */
  keepYears: number
  /** The source of the rule, for people. */
  basis: string
}

export interface Retention {
  /** The first day on which the packet may be destroyed, `YYYY-MM-DD`. */
  due: string
  rule: RetentionRule
}

/**
 * Until when a packet that was received on `received` (`YYYY-MM-DD`) is kept: by the longest of the rules that fit. Null
 * where none fits: it is then kept without end.
 */
export function findRetention(
  rules: readonly RetentionRule[],
  received: string,
  verdict: 'pass' | 'warn' | 'fail' | null,
): Retention | null {
  const fitting = rules.filter(
    ({ verdicts }) => verdicts === undefined || (verdict !== null && verdicts.includes(verdict)),
  )
  const [longest] = fitting.sort((a, b) => b.keepYears - a.keepYears)
  return longest === undefined ? null : { due: addYears(received, longest.keepYears), rule: longest }
}

/** The same day so many years later; of a 29 February, the day after 28 February in a year that lacks it. */
function addYears(day: string, years: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number)
  return new Date(Date.UTC(year + years, month - 1, date)).toISOString().slice(0, 10)
}
