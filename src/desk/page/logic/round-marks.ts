/** Round numbers along an axis. */

/** From nothing to the first that is at least `most`, in four or five steps. */
export function marksTo(most: number): number[] {
  if (!(most > 0)) return [0, 1]
  const power = 10 ** Math.floor(Math.log10(most / 4))
  const step = power * ([1, 2, 2.5, 5].find((one) => most <= 5 * one * power) ?? 10)
  return Array.from({ length: Math.ceil(most / step) + 1 }, (_, at) => Number((at * step).toPrecision(6)))
}

/** The largest of 1, 2 or 5 times a power of ten that is no more than `most`. */
export function roundDown(most: number): number {
  if (!(most > 0)) return 0
  const power = 10 ** Math.floor(Math.log10(most))
  return Number((power * ([5, 2, 1].find((one) => one * power <= most) ?? 1)).toPrecision(3))
}
