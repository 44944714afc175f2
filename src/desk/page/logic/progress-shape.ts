/** A calibration's percentage over its readings. */

export interface ProgressReading {
  percent: number
  at?: { earliest: string; latest: string }
}

/** Points from 0 to 1 across and up: by time where every reading has one, else evenly in the order of the record. */
export function shapeProgress(readings: readonly ProgressReading[]): { x: number; y: number }[] {
  const times = readings.map(({ at }) => (at === undefined ? Number.NaN : Date.parse(at.earliest)))
  const [first, last] = [times[0] ?? 0, times.at(-1) ?? 0]
  const isTimed = times.every((time) => Number.isFinite(time)) && last > first
  return readings.map(({ percent }, at) => ({
    x: isTimed ? ((times[at] ?? 0) - first) / (last - first) : readings.length < 2 ? 1 : at / (readings.length - 1),
    y: Math.min(1, Math.max(0, percent / 100)),
  }))
}
