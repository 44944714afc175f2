/** Times two ways of work against each other on one machine, in turns, so that both meet the same other load. */

export interface Contest {
  /** Median seconds of ours and of the yardstick, and the median of the ratios of neighbouring runs. */
  ours: number
  yardstick: number
  ratio: number
}

type Work = () => Promise<void> | void

async function secondsOf(work: Work): Promise<number> {
  const from = performance.now()
  await work()
  return (performance.now() - from) / 1000
}

export function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b)
  const middle = sorted.length >> 1
  const upper = sorted[middle] ?? Number.NaN
  return sorted.length % 2 === 1 ? upper : ((sorted[middle - 1] ?? Number.NaN) + upper) / 2
}

/** Runs both `rounds` times, A B A B, after one round that does not count. */
export async function contest(ours: Work, yardstick: Work, rounds: number): Promise<Contest> {
  await ours()
  await yardstick()
  const pairs: [number, number][] = []
  for (let round = 0; round < rounds; round++) pairs.push([await secondsOf(ours), await secondsOf(yardstick)])
  return {
    ours: median(pairs.map(([a]) => a)),
    yardstick: median(pairs.map(([, b]) => b)),
    ratio: median(pairs.map(([a, b]) => a / b)),
  }
}
