/** Lets so much work in at a time, and the rest wait in line. */

/**
 * A gate that lets work in as long as the sizes of what is inside add up to no more than `most`; work larger than that
 * goes in alone. Work goes in by the order in which it came.
 */
export function makeGate(most: number): <Result>(size: number, work: () => Promise<Result>) => Promise<Result> {
  const waiting: { size: number; enter: () => void }[] = []
  let inside = 0
  const admit = () => {
    for (let next = waiting[0]; next && (inside === 0 || inside + next.size <= most); next = waiting[0]) {
      waiting.shift()
      inside += next.size
      next.enter()
    }
  }
  return async (size, work) => {
    // An empty file takes a place, too: else any number of them would be inside at once.
    const place = Math.max(1, size)
    await new Promise<void>((enter) => {
      waiting.push({ size: place, enter })
      admit()
    })
    try {
      return await work()
    } finally {
      inside -= place
      admit()
    }
  }
}
