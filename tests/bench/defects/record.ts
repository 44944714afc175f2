/** What a calibration record holds beside its times: progress, attempts, values with their limits, preconditions. */
import type { Chance } from './chance.ts'
import type { CalibrationEntry, Measured } from './draft.ts'
import type { Job } from './story.ts'
import type { PlannedCalibration } from './work.ts'

/** Progress as it climbs to 100 %, in seconds from the start. */
export function stepsOf(chance: Chance, seconds: number): [number, number][] {
  const count = chance.whole(5, 9)
  return Array.from({ length: count + 1 }, (_, index) => {
    const share = index / count
    const wobble = index === 0 || index === count ? 0 : 0.04 * (chance.even() - 0.5)
    return [Math.round(seconds * share), Math.round(100 * (share + wobble))]
  })
}

/** Now and then a first run failed and was repeated; the record lists both. */
export function attemptsOf(chance: Chance, entry: CalibrationEntry): void {
  if (entry.method !== 'dynamic' || entry.started === null || entry.ended === null || !chance.likely(0.12)) return
  entry.attempts = [
    { at: entry.started - chance.whole(8, 11) * 60, outcome: 'Failed', progress: chance.whole(30, 80) },
    { at: entry.ended, outcome: entry.outcome ?? 'Completed', progress: 100 },
  ]
}

const within = (chance: Chance, name: string, unit: string, least: number, most: number): Measured => {
  const value = least + (most - least) * (0.2 + 0.6 * chance.even())
  return { name, unit, least, most, value: Math.round(value * 100) / 100, verdict: 'OK' }
}

export function valuesOf(chance: Chance, plan: PlannedCalibration, complete: boolean): Measured[] {
  const { sensor, method, replaced } = plan
  const values: Measured[] = []
  if (sensor.includes('radar'))
    values.push(within(chance, 'Horizontal angle', 'deg', -3, 3), within(chance, 'Vertical angle', 'deg', -1, 1))
  else if (sensor === 'front-camera')
    values.push(
      within(chance, 'Pitch', 'deg', -2, 2),
      within(chance, 'Yaw', 'deg', -2.5, 2.5),
      within(chance, 'Roll', 'deg', -1.5, 1.5),
    )
  else if (sensor === 'steering-angle') values.push(within(chance, 'Steering angle at centre', 'deg', -1.5, 1.5))
  if (sensor === 'front-radar' && method === 'dynamic' && replaced && complete)
    values.push(within(chance, 'Vertical angle before drive', 'deg', -0.5, 0.5))
  if (method === 'static' && complete)
    values.push(
      within(chance, 'Target distance', 'mm', 1495, 1505),
      within(chance, 'Target height', 'mm', 1240, 1260),
      within(chance, 'Floor level difference', 'mm', 0, 4),
    )
  return values
}

/** A pressure of so many kPa in the shop's unit. */
export function pressureText(kpa: number, unit: Job['shop']['pressure']): string {
  if (unit === 'psi') return `${Math.round(kpa / 6.894757)} psi`
  return unit === 'bar' ? `${(kpa / 100).toFixed(1)} bar` : `${Math.round(kpa)} kPa`
}

/** The conditions that a careful technician writes down. */
export function preparationOf(
  chance: Chance,
  job: Pick<Job, 'shop' | 'vehicle'>,
  plan: PlannedCalibration,
): [string, string][] {
  const { shop, vehicle } = job
  const tires = shop.spelling === 'tire' ? 'Tire' : 'Tyre'
  const say = (kpa: number) => pressureText(kpa, shop.pressure)
  const lines: [string, string][] = [
    [`${tires} pressures`, `front ${say(vehicle.frontKpa)}, rear ${say(vehicle.rearKpa)}`],
    ['Placard pressures', `front ${say(vehicle.frontKpa)}, rear ${say(vehicle.rearKpa)}`],
  ]
  if (plan.method === 'static')
    lines.push(
      ['Fuel level', chance.pick(['full', '1/2 tank', '3/4'])],
      ['Cargo', 'none'],
      ['Ride height', 'level, unladen'],
    )
  if (plan.method === 'dynamic')
    lines.push(['Road and weather', chance.pick(['dry, lane lines clear', 'dry, overcast', 'highway, light traffic'])])
  return lines
}
