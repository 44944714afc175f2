/**
 * Figures over the packets of an archive: by shop, technician or instrument, how many jobs fail a review, against what the
 * kind of their work lets expect. A figure is no judgement of anybody: it says where to look.
 */
import type { Writing } from '../register/project.ts'
import { type Search, searchPackets } from '../register/search.ts'
import {
  adjustForMany,
  binomialProbability,
  funnelLimits,
  type Interval,
  quantile,
  wilsonInterval,
  z95,
  z998,
} from './statistics.ts'

export const auditGroups = ['shop', 'technician', 'instrument'] as const
export type AuditGroup = (typeof auditGroups)[number]

/** Fewer jobs are counted, and not compared. Common practice, no source. */
const leastJobs = 20

/** What the rate of one group says, after allowing for what its work was and for how many groups are compared. */
export type Standing = 'as-expected' | 'more-than-expected' | 'fewer-than-expected' | 'too-few'

export interface GroupFigures {
  name: string
  /** Packets with a report; several submissions of one job count once, by the last. */
  jobs: number
  fails: number
  warns: number
  /** Of jobs that fail. */
  rate: number
  /** Wilson's, 95 %. */
  interval: Interval
  /** The rate that jobs of the same kinds have in the whole archive. */
  expected: number
  limits95: Interval
  limits998: Interval
  /** Adjusted for many (Benjamini-Hochberg); null where there are too few jobs. */
  probability: number | null
  standing: Standing
  /** Checks that fail most often, most often first. */
  findings: { check: string; jobs: number }[]
  /** Durations of dynamic calibrations' drives, in seconds; null where none is stated. */
  drives: DurationFigures | null
}

export interface DurationFigures {
  count: number
  /** Lower quartile, median, upper quartile. */
  quartiles: [number, number, number]
  /** Drives that last to the second as long as another of the group. */
  alike: number
}

export interface Audit {
  group: AuditGroup
  jobs: number
  fails: number
  rate: number
  /** Groups with fewer jobs are not compared. */
  leastJobs: number
  /** The limits of a funnel round the rate of all, for a chart: at so many jobs. */
  funnel: { jobs: number; limits95: Interval; limits998: Interval }[]
  /** Sorted by name: nobody is ranked. */
  groups: GroupFigures[]
  /** Jobs in which no such name was read. */
  unnamed: number
}

interface Job {
  accession: string
  verdict: 'pass' | 'warn' | 'fail'
  /** What kinds of calibration it holds. */
  kind: string
  names: string[]
  fails: string[]
  drives: number[]
}

/** Figures of one kind of group over the packets that fit a search. */
export async function auditPackets(db: Writing, group: AuditGroup, search: Search = {}): Promise<Audit> {
  const jobs = await readJobs(db, group, search)
  const rates = ratesByKind(jobs)
  const byName = new Map<string, Job[]>()
  for (const job of jobs) for (const name of job.names) (byName.get(name) ?? keepNew(byName, name)).push(job)
  const names = [...byName].sort(([one], [other]) => (one < other ? -1 : 1))
  const figures = names.map(([name, own]) => describeGroup(name, own, rates))
  const fails = jobs.filter(({ verdict }) => verdict === 'fail').length
  const rate = rateOf(jobs)
  return {
    group,
    jobs: jobs.length,
    fails,
    rate,
    leastJobs,
    funnel: drawFunnel(rate, Math.max(leastJobs, ...figures.map(({ jobs: own }) => own)) * 1.05),
    groups: compareGroups(figures),
    unnamed: jobs.filter(({ names: own }) => own.length === 0).length,
  }
}

const funnelPoints = 60

const drawFunnel = (rate: number, most: number): Audit['funnel'] =>
  Array.from({ length: funnelPoints }, (_, at) => {
    const jobs = Math.max(1, (most * (at + 1)) / funnelPoints)
    return { jobs, limits95: funnelLimits(rate, jobs, z95), limits998: funnelLimits(rate, jobs, z998) }
  })

function keepNew(byName: Map<string, Job[]>, name: string): Job[] {
  const jobs: Job[] = []
  byName.set(name, jobs)
  return jobs
}

const factOf: Record<AuditGroup, string> = { shop: 'shop', technician: 'technician', instrument: 'instrument-serial' }

async function readJobs(db: Writing, group: AuditGroup, search: Search): Promise<Job[]> {
  const jobs: Job[] = []
  for (let after = ''; ; ) {
    const page = await searchPackets(db, search, { after })
    // What was followed by another submission counts by that one.
    for (const { accession, verdict, followedBy } of page)
      if (verdict !== null && followedBy === null) jobs.push(await readJob(db, group, accession, verdict))
    const last = page.at(-1)
    if (last === undefined || page.length < 1000) return jobs
    after = last.accession
  }
}

async function readJob(db: Writing, group: AuditGroup, accession: string, verdict: Job['verdict']): Promise<Job> {
  const names = await db
    .selectFrom('facts')
    .select('value')
    .where('accession', '=', accession)
    .where('kind', '=', factOf[group])
    .execute()
  const calibrations = await db
    .selectFrom('calibrations')
    .select(['sensor', 'method', 'drive_seconds'])
    .where('accession', '=', accession)
    .execute()
  const findings = await db
    .selectFrom('findings')
    .select('check_id')
    .distinct()
    .where('accession', '=', accession)
    .where('verdict', '=', 'fail')
    .execute()
  return {
    accession,
    verdict,
    kind: [...new Set(calibrations.map(({ sensor, method }) => `${sensor} ${method}`))].sort().join(', '),
    names: names.map(({ value }) => value),
    fails: findings.map(({ check_id }) => check_id),
    drives: [...new Set(calibrations.flatMap(({ drive_seconds }) => drive_seconds ?? []))],
  }
}

/** How often jobs of each kind fail. */
function ratesByKind(jobs: readonly Job[]): Map<string, number> {
  const byKind = Map.groupBy(jobs, ({ kind }) => kind)
  return new Map([...byKind].map(([kind, own]) => [kind, rateOf(own)]))
}

const rateOf = (jobs: readonly Job[]): number =>
  jobs.length === 0 ? 0 : jobs.filter(({ verdict }) => verdict === 'fail').length / jobs.length

function describeGroup(name: string, jobs: readonly Job[], rates: ReadonlyMap<string, number>): GroupFigures {
  const of = (verdict: Job['verdict']) => jobs.filter((job) => job.verdict === verdict).length
  const expected = jobs.reduce((sum, { kind }) => sum + (rates.get(kind) ?? 0), 0) / jobs.length
  const fails = of('fail')
  const counts = new Map<string, number>()
  for (const check of jobs.flatMap(({ fails: own }) => own)) counts.set(check, (counts.get(check) ?? 0) + 1)
  const findings = [...counts].map(([check, count]) => ({ check, jobs: count }))
  return {
    name,
    jobs: jobs.length,
    fails,
    warns: of('warn'),
    rate: fails / jobs.length,
    interval: wilsonInterval(fails, jobs.length),
    expected,
    limits95: funnelLimits(expected, jobs.length, z95),
    limits998: funnelLimits(expected, jobs.length, z998),
    probability: jobs.length < leastJobs ? null : binomialProbability(fails, jobs.length, expected),
    standing: 'too-few',
    findings: findings.sort((a, b) => b.jobs - a.jobs || (a.check < b.check ? -1 : 1)).slice(0, 5),
    drives: describeDrives(jobs.flatMap(({ drives }) => drives)),
  }
}

function describeDrives(durations: readonly number[]): DurationFigures | null {
  const sorted = [...durations].sort((a, b) => a - b)
  const [low, middle, high] = [0.25, 0.5, 0.75].map((part) => quantile(sorted, part))
  if (low == null || middle == null || high == null) return null
  const alike = sorted.filter((duration, at) => duration === sorted[at - 1] || duration === sorted[at + 1]).length
  return { count: sorted.length, quartiles: [low, middle, high], alike }
}

/** At which rate of false alarms groups are told apart. */
const falseAlarms = 0.05

function compareGroups(groups: readonly GroupFigures[]): GroupFigures[] {
  const compared = groups.filter(({ probability }) => probability !== null)
  const adjusted = adjustForMany(compared.map(({ probability }) => probability ?? 1))
  const byName = new Map(compared.map(({ name }, at) => [name, adjusted[at] ?? 1]))
  return groups.map((group) => {
    const probability = byName.get(group.name) ?? null
    return { ...group, probability, standing: standingOf(group, probability) }
  })
}

function standingOf({ rate, expected }: GroupFigures, probability: number | null): Standing {
  if (probability === null) return 'too-few'
  if (probability > falseAlarms) return 'as-expected'
  return rate > expected ? 'more-than-expected' : 'fewer-than-expected'
}
