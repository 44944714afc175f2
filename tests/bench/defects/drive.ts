/**
 * A drive in a loop from the shop and back: speeds that a driver holds, corners and stops that a car can take, and the noise
 * of a receiver. Positions are degrees, speeds metres a second.
 */
import { type Chance, wander } from './chance.ts'

export interface Sample {
  /** Seconds since the start of the drive. */
  time: number
  latitude: number
  longitude: number
  elevation: number
  speed: number
  wheelSpeed: number
  course: number
  satellites: number
  hdop: number
}

export interface Leg {
  metres: number
  /** Speed held, metres a second. */
  speed: number
  /** Seconds stood at its end. */
  stop: number
}

export interface DriveOrder {
  latitude: number
  longitude: number
  legs: Leg[]
  /** Degrees turned right at the end of every leg. */
  turn: number
  heading: number
  /** Seconds between two samples. */
  interval: number
}

export interface Driven {
  samples: Sample[]
  seconds: number
  metres: number
}

const step = 0.2
const braking = 1.6
const cornerSpeed = 5.5
const cornerRadius = 13

interface Car {
  east: number
  north: number
  heading: number
  speed: number
  metres: number
}

function move(car: Car): void {
  const angle = (car.heading * Math.PI) / 180
  car.east += Math.sin(angle) * car.speed * step
  car.north += Math.cos(angle) * car.speed * step
  car.metres += car.speed * step
}

/** Drives the legs; the same chance gives the same drive. */
export function driveLegs(chance: Chance, order: DriveOrder): Driven {
  const foot = wander(chance, 0.5, 9, step)
  const drifts = [1.5, 1.8, 2.4].map((deviation) => wander(chance, deviation, 70, order.interval))
  const car: Car = { east: 0, north: 0, heading: order.heading, speed: 0, metres: 0 }
  const samples: Sample[] = []
  const perDegree = 111_130
  const perLongitude = perDegree * Math.cos((order.latitude * Math.PI) / 180)
  const every = Math.round(order.interval / step)
  let tick = 0
  const advance = (): void => {
    if (tick % every === 0) {
      const [east = 0, north = 0, up = 0] = drifts.map((drift) => drift())
      samples.push({
        time: Math.round(tick * step * 10) / 10,
        latitude: order.latitude + (car.north + north + 0.25 * chance.normal()) / perDegree,
        longitude: order.longitude + (car.east + east + 0.25 * chance.normal()) / perLongitude,
        elevation: 212 + 6 * Math.sin(car.east / 2100) + 4 * Math.cos(car.north / 1300) + up,
        speed: Math.max(0, car.speed + 0.06 * chance.normal()),
        wheelSpeed: Math.round(car.speed * 3.6 * 1.006) / 3.6,
        course: (((car.heading + (car.speed > 1 ? 0.5 * chance.normal() : 0)) % 360) + 360) % 360,
        satellites: 10 + chance.whole(0, 4),
        hdop: 0.7 + chance.whole(0, 4) / 10,
      })
    }
    tick++
    move(car)
  }
  order.legs.forEach((leg, index) => {
    const last = index === order.legs.length - 1
    const leaving = last || leg.stop > 0 ? 0 : cornerSpeed
    for (let left = leg.metres; left > 0.4; left -= car.speed * step) {
      const cruise = leg.speed + foot()
      const allowed = Math.sqrt(leaving * leaving + 2 * braking * Math.max(0, left - 1))
      const pull = 2.1 * (1 - car.speed / 45)
      car.speed = Math.max(
        0.6,
        Math.min(car.speed + pull * step, Math.max(Math.min(cruise, allowed), car.speed - (braking + 0.4) * step)),
      )
      advance()
    }
    if (leaving === 0) {
      car.speed = 0
      for (let waited = 0; waited < (last ? 2 : leg.stop); waited += step) advance()
    }
    if (last) return
    for (let turned = 0; turned < Math.abs(order.turn); ) {
      car.speed = Math.min(cornerSpeed, car.speed + 2 * step)
      const part = ((car.speed * step) / cornerRadius) * (180 / Math.PI)
      car.heading += Math.sign(order.turn) * part
      turned += part
      advance()
    }
  })
  const seconds = samples.at(-1)?.time ?? 0
  return { samples, seconds, metres: car.metres }
}

/** A loop of four sides that lasts about `seconds` at about `speed`, stops included. */
export function planLoop(chance: Chance, seconds: number, speed: number, stops: number): Leg[] {
  const losses = 4 * 16 + stops * 12
  const metres = (seconds - losses) * speed
  const share = 0.2 + 0.1 * chance.even()
  return [share, 0.5 - share, share, 0.5 - share].map((part, index) => ({
    metres: metres * part,
    speed: speed + 0.8 * chance.normal(),
    stop: index < stops ? chance.whole(4, 14) : 0,
  }))
}
