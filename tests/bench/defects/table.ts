/** What a run showed, in figures and as text. */
import type { Result } from './run-case.ts'

export interface CheckFigures {
  check: string
  planted: number
  found: number
  milder: number
  elsewhere: number
  missed: number
  plantedFails: number
  foundFails: number
  plantedWarns: number
  foundWarns: number
  /** Other checks that fired beside, by how often; commonest first. */
  beside: [string, number][]
}

const share = (part: number, whole: number): number => (whole === 0 ? 1 : part / whole)

export function figuresByCheck(results: readonly Result[]): CheckFigures[] {
  const figures = new Map<string, CheckFigures & { counts: Map<string, number> }>()
  for (const result of results)
    for (const { check, verdict, grade } of result.planted) {
      const own = figures.get(check) ?? {
        check,
        planted: 0,
        found: 0,
        milder: 0,
        elsewhere: 0,
        missed: 0,
        plantedFails: 0,
        foundFails: 0,
        plantedWarns: 0,
        foundWarns: 0,
        beside: [],
        counts: new Map(),
      }
      figures.set(check, own)
      own.planted++
      own[grade]++
      if (verdict === 'fail') own.plantedFails++
      else own.plantedWarns++
      if (grade === 'found' && verdict === 'fail') own.foundFails++
      if (grade === 'found' && verdict === 'warn') own.foundWarns++
      // In a packet with two defects it cannot be told which of them another check fires for.
      if (result.planted.length > 1) continue
      for (const name of new Set(result.beside.map((one) => `${one.check} ${one.verdict}`)))
        own.counts.set(name, (own.counts.get(name) ?? 0) + 1)
    }
  return [...figures.values()].map(({ counts, ...own }) => ({
    ...own,
    beside: [...counts].sort(([nameA, a], [nameB, b]) => b - a || (nameA < nameB ? -1 : 1)),
  }))
}

export interface Totals {
  packets: number
  clean: number
  recallOfFails: number
  recallOfWarns: number
  /** On clean packets: findings that fail, in all. */
  falseFails: number
  /** On clean packets: findings that warn, for each packet. */
  needlessWarns: Record<'complete' | 'ordinary', number>
  secondsPerPacket: number
}

export function totalsOf(results: readonly Result[]): Totals {
  const planted = results.flatMap((result) => result.planted)
  const recall = (verdict: 'fail' | 'warn') => {
    const own = planted.filter((one) => one.verdict === verdict)
    return share(own.filter(({ grade }) => grade === 'found').length, own.length)
  }
  const clean = results.filter((result) => result.case.planted.length === 0)
  const warns = (profile: 'complete' | 'ordinary') => {
    const own = clean.filter((result) => result.case.profile === profile)
    return own.length === 0
      ? 0
      : own.flatMap(({ beside }) => beside.filter(({ verdict }) => verdict === 'warn')).length / own.length
  }
  return {
    packets: results.length,
    clean: clean.length,
    recallOfFails: recall('fail'),
    recallOfWarns: recall('warn'),
    falseFails: clean.flatMap(({ beside }) => beside.filter(({ verdict }) => verdict === 'fail')).length,
    needlessWarns: { complete: warns('complete'), ordinary: warns('ordinary') },
    secondsPerPacket:
      results.reduce((sum, { milliseconds }) => sum + milliseconds, 0) / 1000 / Math.max(1, results.length),
  }
}

/** What was said of clean packets that should not have been: how often, and one example of each kind. */
export function alarmsOnClean(results: readonly Result[]): { what: string; count: number; example: string }[] {
  const alarms = new Map<string, { count: number; example: string }>()
  for (const { case: one, beside } of results.filter((result) => result.case.planted.length === 0))
    for (const { check, verdict, message, reason } of beside) {
      const what = `${verdict} ${check} ${message} (${one.profile})`
      const known = alarms.get(what) ?? { count: 0, example: `packet ${one.seed}: ${reason}` }
      known.count++
      alarms.set(what, known)
    }
  return [...alarms].map(([what, rest]) => ({ what, ...rest })).sort((a, b) => b.count - a.count)
}

const percent = (value: number): string => `${(100 * value).toFixed(1)} %`

const misses = (results: readonly Result[]): string[] =>
  results.flatMap(({ case: one, planted }) =>
    planted
      .filter(({ grade }) => grade !== 'found')
      .map(
        ({ name, verdict, grade, said }) =>
          `  ${grade} ${name} (${verdict}), packet ${one.seed} ${one.planted.length > 1 ? `with ${one.planted.join(' and ')}` : ''}\n      ${said.slice(0, 420) || 'the check said nothing'}`,
      ),
  )

/** The whole table. `missesShown`: how many misses are listed. */
export function formatTable(results: readonly Result[], missesShown: number): string {
  const rows = figuresByCheck(results).map((own) =>
    [
      own.check.padEnd(32),
      `${own.found}/${own.planted}`.padStart(8),
      percent(share(own.found, own.planted)).padStart(9),
      String(own.milder).padStart(7),
      String(own.elsewhere).padStart(10),
      String(own.missed).padStart(7),
      `   ${own.beside
        .slice(0, 4)
        .map(([name, count]) => `${name} ${count}`)
        .join(', ')}`,
    ].join(''),
  )
  const totals = totalsOf(results)
  const missed = misses(results)
  return [
    `${'check'.padEnd(32)}${'found'.padStart(8)}${'recall'.padStart(9)}${'milder'.padStart(7)}${'elsewhere'.padStart(10)}${'missed'.padStart(7)}   beside`,
    ...rows,
    '',
    `packets ${totals.packets}, of them clean ${totals.clean}; ${totals.secondsPerPacket.toFixed(2)} s a packet on one thread`,
    `recall: fails ${percent(totals.recallOfFails)}, warns ${percent(totals.recallOfWarns)}`,
    `clean packets: ${totals.falseFails} false fails; needless warns a packet: ${totals.needlessWarns.complete.toFixed(2)} complete, ${totals.needlessWarns.ordinary.toFixed(2)} ordinary`,
    '',
    'alarms on clean packets',
    ...alarmsOnClean(results).map(({ what, count, example }) => `  ${count} ${what}\n      ${example.slice(0, 300)}`),
    '',
    `not found: ${missed.length}`,
    ...missed.slice(0, missesShown),
  ].join('\n')
}
