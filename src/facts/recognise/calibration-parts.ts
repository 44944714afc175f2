/** Parts of a report that speak of one calibration, put together. */
import type { CalibrationReading } from '../document.ts'
import type { Place } from '../reading.ts'
import type { Sheet } from './sheet.ts'

/** Whether two parts can speak of one calibration: nothing that both say differs. */
function agree(a: CalibrationReading, b: CalibrationReading): boolean {
  const same = <Value>(x: Value | null | undefined, y: Value | null | undefined) =>
    x === undefined || y === undefined || x === null || y === null || x === 'unknown' || y === 'unknown' || x === y
  return (
    a.sensor === b.sensor &&
    same(a.position, b.position) &&
    same(a.method, b.method) &&
    same(a.outcome, b.outcome) &&
    same(a.started?.local, b.started?.local) &&
    same(a.ended?.local, b.ended?.local) &&
    same(a.serial, b.serial) &&
    same(a.durationSeconds, b.durationSeconds) &&
    (a.values === undefined || b.values === undefined)
  )
}

/**
 * A report may name one sensor over its measurements and again over its summary. Such parts are one calibration when they
 * contradict each other in nothing and neither tells the whole alone.
 */
export function joinParts(sheet: Sheet, found: CalibrationReading[]): CalibrationReading[] {
  const whole = (reading: CalibrationReading) =>
    reading.outcome !== 'unknown' && (reading.started !== undefined || reading.method !== 'unknown')
  const joined: CalibrationReading[] = []
  const evidence = new Map<string, Place[]>()
  found.forEach((reading, from) => {
    const at = joined.findIndex((other) => agree(other, reading) && !(whole(other) && whole(reading)))
    const known = joined[at]
    const to = known ? at : joined.length
    for (const [path, places] of Object.entries(sheet.evidence)) {
      const rest =
        path === `calibrations.${from}`
          ? ''
          : path.startsWith(`calibrations.${from}.`)
            ? path.slice(`calibrations.${from}`.length)
            : null
      if (rest !== null)
        evidence.set(`calibrations.${to}${rest}`, [...(evidence.get(`calibrations.${to}${rest}`) ?? []), ...places])
    }
    if (!known) {
      joined.push(reading)
      return
    }
    for (const [key, value] of Object.entries(reading)) {
      const have = known[key as keyof CalibrationReading]
      if (have === undefined || have === null || have === 'unknown') Object.assign(known, { [key]: value })
    }
  })
  if (joined.length < found.length) {
    for (const path of Object.keys(sheet.evidence)) if (path.startsWith('calibrations.')) delete sheet.evidence[path]
    for (const [path, places] of evidence) sheet.evidence[path] = places
  }
  return joined
}
