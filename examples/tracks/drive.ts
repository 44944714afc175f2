/**
 * A drive on a grid of farm roads, second by second: speeds a driver would hold, corners and stops a car can take, and
 * the noise of a receiver. Positions are metres east and north of the shop.
 */
import { seedChance, wander } from '../chance.ts'
import { shop } from '../shop.ts'

export interface Route {
  /** Corners in metres east and north of the shop, start and end included. */
  corners: readonly (readonly [number, number])[]
  /** Speed held on each leg, metres a second. */
  speeds: readonly number[]
  /** Seconds stood at the end of a leg; 0 where the car only slows for the corner. */
  stops: readonly number[]
  seed: number
  /** Ends the drive after so many seconds, wherever it is. */
  cutSeconds?: number
}

export interface Fix {
  /** Seconds since the start. */
  time: number
  latitude: number
  longitude: number
  elevation: number
  /** Satellite speed and wheel speed, metres a second; course in degrees. */
  speed: number
  wheelSpeed: number
  course: number
  satellites: number
  hdop: number
}

export interface Drive {
  fixes: Fix[]
  seconds: number
  metres: number
}

export const milesOf = (metres: number): number => metres / 1609.344

const cornerRadius = 14
const cornerSpeed = 5.2
const braking = 1.7
const step = 0.1

interface Bend {
  from: number
  until: number
}

/** The path as points a metre apart, with rounded corners and the speed that each allows. */
function layPath(route: Route): {
  points: (readonly [number, number])[]
  limits: number[]
  waits: Map<number, number>
} {
  const points: (readonly [number, number])[] = []
  const limits: number[] = []
  const waits = new Map<number, number>()
  const bends: Bend[] = []
  route.corners.forEach((corner, index) => {
    const next = route.corners[index + 1]
    if (!next) return
    const length = Math.hypot(next[0] - corner[0], next[1] - corner[1])
    const [east, north] = [(next[0] - corner[0]) / length, (next[1] - corner[1]) / length]
    const begin = index === 0 ? 0 : cornerRadius
    const last = index === route.corners.length - 2
    const finish = last ? length : length - cornerRadius
    for (let along = begin; along <= finish; along++) {
      points.push([corner[0] + east * along, corner[1] + north * along])
      limits.push(route.speeds[index] ?? 20)
    }
    const stop = route.stops[index] ?? 0
    if (stop > 0) waits.set(points.length - 1, stop)
    const after = route.corners[index + 2]
    if (last || !after) return
    const onward = Math.hypot(after[0] - next[0], after[1] - next[1])
    const [east2, north2] = [(after[0] - next[0]) / onward, (after[1] - next[1]) / onward]
    const arc = Math.round((cornerRadius * Math.PI) / 2)
    bends.push({ from: points.length, until: points.length + arc })
    for (let along = 1; along < arc; along++) {
      const turn = (along / arc) * (Math.PI / 2)
      const back = cornerRadius * (1 - Math.sin(turn))
      const out = cornerRadius * (1 - Math.cos(turn))
      points.push([next[0] - east * back + east2 * out, next[1] - north * back + north2 * out])
      limits.push(cornerSpeed)
    }
  })
  return { points, limits, waits }
}

/** Lowers each limit to what can still be braked from, and brings the car to a stand at stops and at the end. */
function planSpeeds(limits: number[], waits: Map<number, number>): number[] {
  const plan = [...limits]
  plan[plan.length - 1] = 0
  for (const place of waits.keys()) plan[place] = 0
  for (let place = plan.length - 2; place >= 0; place--) {
    const beyond = plan[place + 1] ?? 0
    plan[place] = Math.min(plan[place] ?? 0, Math.sqrt(beyond * beyond + 2 * braking))
  }
  return plan
}

/** Drives the route. The same seed gives the same drive. */
export function driveRoute(route: Route): Drive {
  const { points, limits, waits } = layPath(route)
  const plan = planSpeeds(limits, waits)
  const chance = seedChance(route.seed)
  const foot = wander(chance, 0.55, 9, step)
  const [eastDrift, northDrift, upDrift] = [1.6, 1.9, 2.4].map((deviation) => wander(chance, deviation, 70, 1))
  const fixes: Fix[] = []
  let [along, speed, waited, metres] = [0, 0, 0, 0]
  const lasting = route.cutSeconds ?? 5400
  for (let tick = 0; tick * step <= lasting; tick++) {
    const place = Math.min(Math.round(along), points.length - 1)
    if (tick % Math.round(1 / step) === 0) {
      const [east, north] = points[place] ?? [0, 0]
      const [east0, north0] = points[Math.max(0, place - 3)] ?? [0, 0]
      const [east1, north1] = points[Math.min(points.length - 1, place + 3)] ?? [0, 0]
      const heading = (Math.atan2(east1 - east0, north1 - north0) * 180) / Math.PI
      fixes.push({
        time: Math.round(tick * step),
        latitude: shop.latitude + (north + (northDrift?.() ?? 0) + 0.25 * chance.normal()) / 111050,
        longitude: shop.longitude + (east + (eastDrift?.() ?? 0) + 0.25 * chance.normal()) / 84080,
        elevation: 529 + 6 * Math.sin(east / 2100) + 4 * Math.cos(north / 1300) + (upDrift?.() ?? 0),
        speed: Math.max(0, speed + 0.06 * chance.normal()),
        wheelSpeed: Math.round(speed * 3.6 * 1.006) / 3.6,
        course: (heading + 360 + (speed > 1 ? 0.5 * chance.normal() : 0)) % 360,
        satellites: 11 + Math.floor(chance.even() * 4),
        hdop: 0.7 + Math.round(chance.even() * 3) / 10,
      })
    }
    const stop = waits.get(place)
    if (along >= points.length - 1.6 && speed < 0.3) break
    if (stop !== undefined && speed < 0.4 && waited < stop) {
      waited += step
      speed = 0
      continue
    }
    if (stop === undefined) waited = 0
    const allowed = plan[Math.min(place + 1, plan.length - 1)] ?? 0
    const cruising = allowed > 8 ? allowed + foot() : allowed
    const pull = 2.1 * (1 - speed / 42)
    const ready = stop !== undefined && waited >= stop ? 0.6 : 0
    speed = Math.max(ready, Math.min(speed + pull * step, Math.max(cruising, speed - (braking + 0.3) * step)))
    if (speed < 0.25) speed = 0.25
    along += speed * step
    metres += speed * step
  }
  const seconds = fixes.at(-1)?.time ?? 0
  return { fixes, seconds, metres }
}
