/** Hostile text for the parsers: any code units, and long repetitions. */
import fc from 'fast-check'

/** Any UTF-16 text, lone surrogates and control characters included. */
export const anyText = fc
  .array(fc.oneof(fc.integer({ min: 0, max: 0x7f }), fc.integer({ min: 0, max: 0xffff })), { maxLength: 60 })
  .map((units) => String.fromCharCode(...units))

/** A line of 100 kB. */
export function longLine(part: string): string {
  return part.repeat(Math.ceil(100_000 / part.length))
}

/** Seconds of processor time that some work takes, whatever else the machine is doing. */
export function processorSeconds(work: () => void): number {
  const begun = process.cpuUsage()
  work()
  return process.cpuUsage(begun).user / 1e6
}

/** Room for the slowest of the long lines; a backtracking expression would take minutes. */
export const patience = 60_000
