/** The figures of an audit, as text for people. */
import type { Audit, GroupFigures } from '../archive/index.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'
import { count } from './words.ts'

export const groupWords = { shop: 'shop', technician: 'technician', instrument: 'instrument' } as const

/** `12.5 %` */
export const percent = (rate: number): string => `${(rate * 100).toFixed(1)} %`

/** `13 min 20 s` */
export function minutes(seconds: number): string {
  const whole = Math.round(seconds)
  return `${Math.floor(whole / 60)} min ${whole % 60} s`
}

const standings: Record<Exclude<GroupFigures['standing'], 'too-few'>, string> = {
  'as-expected': 'as its work lets expect',
  'more-than-expected': 'more than its work lets expect',
  'fewer-than-expected': 'fewer than its work lets expect',
}

export const nameStanding = ({ standing }: GroupFigures, { leastJobs }: Audit): string =>
  standing === 'too-few' ? `fewer than ${leastJobs} jobs: counted, not compared` : standings[standing]

/** How the figures are come by, and what they are not. */
export const auditNotes = [
  'A job that was submitted several times counts once, by its last submission and the last report on it.',
  'What is expected is the rate at which jobs with the same sensors and methods fail in all of these packets. Intervals are Wilson’s (95 %); limits are those of a funnel (95 % and 99.8 %); probabilities are exact binomial, adjusted for being many (Benjamini-Hochberg, 5 %).',
  'A figure is no judgement of anybody. A job fails by its papers: a missing record does not prove that work was not done. Look at the packets before you ask.',
] as const

export function renderAudit(audit: Audit, options: SheetOptions): string {
  const sheet = makeSheet(options)
  const { group, jobs, fails, rate, groups, unnamed } = audit
  sheet.write([
    span(`By ${groupWords[group]}`, 'strong'),
    span(`: ${count(jobs, 'job')}, ${fails} fail (${percent(rate)})`),
  ])
  if (unnamed > 0) sheet.write(`In ${unnamed} of them no ${groupWords[group]} was read.`)
  for (const figures of groups) writeGroup(sheet, figures, audit)
  sheet.gap()
  for (const note of auditNotes) sheet.write([span(note, 'quiet')])
  return sheet.toString()
}

function writeGroup(sheet: Sheet, figures: GroupFigures, audit: Audit): void {
  const { name, jobs, fails, warns, rate, interval, expected, standing, findings, drives } = figures
  const style = standing === 'more-than-expected' ? 'doubtful' : 'plain'
  sheet.gap()
  sheet.write([span(name, 'strong'), span(`: ${count(jobs, 'job')}, ${fails} fail, ${warns} warn`)])
  sheet.write(
    [
      span(
        `${percent(rate)} fail (${percent(interval.least)} to ${percent(interval.most)}); ${percent(expected)} expected: `,
      ),
      span(nameStanding(figures, audit), style),
    ],
    { first: '  ', rest: '    ' },
  )
  if (findings.length > 0)
    sheet.write(`Most often: ${findings.map(({ check, jobs: own }) => `${check} (${own})`).join(', ')}`, {
      first: '  ',
      rest: '    ',
    })
  if (drives !== null) sheet.write(describeDrives(drives), { first: '  ', rest: '    ' })
}

export function describeDrives({ count: drives, quartiles, alike }: NonNullable<GroupFigures['drives']>): string {
  const [low, middle, high] = quartiles
  const same = alike === 0 ? '' : `; ${alike} last to the second as long as another`
  return `${count(drives, 'drive')}: half of them ${minutes(low)} to ${minutes(high)}, the middle one ${minutes(middle)}${same}`
}
