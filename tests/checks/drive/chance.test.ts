/** The stated rates of false alarm, held to simulations in which alarms are frequent enough to be counted. */
import { describe, expect, it } from 'vitest'
import { type Chance, seedChance } from '../../../examples/chance.ts'
import { driveNotSynthetic } from '../../../src/checks/drive/drive-not-synthetic.ts'
import { findRepetition } from '../../../src/checks/drive/repetition.ts'
import { generalParameters } from '../general.ts'
import { runCheck } from '../run-check.ts'
import { departure, packetOfTrack, trackOf } from './tracks.ts'

const rate = 0.05
/** Alarms in so many logs that lie three standard deviations beyond the rate. */
const mostAlarms = (logs: number) => rate * logs + 3 * Math.sqrt(rate * (1 - rate) * logs)

/** A bus speed whose every second difference is drawn by chance from a few. */
function drawSpeeds(chance: Chance, count: number): number[] {
  const draws = [0, 0, 0, 6, -6]
  let [step, value] = [0, 0]
  return Array.from({ length: count }, () => {
    step += draws[Math.floor(chance.even() * draws.length)] ?? 0
    value += step
    return value
  })
}

it('repetition: chance gives no more bits than n² / 2 pairs of places explain', () => {
  const chance = seedChance(11)
  const count = 400
  const needed = Math.log2(count ** 2 / 2 / rate)
  let alarms = 0
  for (let log = 0; log < 300; log++) {
    const channels = [drawSpeeds(chance, count)]
    const found = findRepetition(channels, { mirror: false, orders: [1, 2, 3], isLong: () => true })
    if (found !== null && found.bits >= needed) alarms++
  }
  expect(alarms).toBeLessThanOrEqual(mostAlarms(300))
})

describe('evenness', () => {
  const shipped = generalParameters('drive-not-synthetic')
  const parameters = { ...shipped, falseAlarmRate: rate, leastEvenSeconds: 0 }
  const noise = Number(shipped.noiseMetres)
  /** Even motion with just the noise that is taken for granted: white noise gives second differences of √6 times its own. */
  const message = (chance: Chance, decimals: number, white: number) => {
    const step = 0.00015 + 0.0001 * chance.even()
    const at = (value: number) => Number((value + (white * chance.normal()) / 111_200).toFixed(decimals))
    const points = Array.from({ length: 500 }, (_, second) => ({
      time: departure + second,
      latitude: at(0.2 + second * step),
      longitude: at(0.3 + second * step * 1.3),
    }))
    return runCheck(driveNotSynthetic, packetOfTrack(trackOf(points)), parameters)[0]?.message ?? ''
  }

  it.each([5, 6, 7])('chance gives no more alarms than stated, with %i decimals', (decimals) => {
    const chance = seedChance(20 + decimals)
    let alarms = 0
    for (let log = 0; log < 60; log++)
      if (['regular', 'too-even'].includes(message(chance, decimals, noise / Math.sqrt(6)))) alarms++
    expect(alarms).toBeLessThanOrEqual(mostAlarms(60))
  })

  it.each([6, 7])('and motion without any noise is told, with %i decimals', (decimals) => {
    expect(message(seedChance(30), decimals, 0)).toBe('regular')
  })
})

describe('the chance to escape even motion', () => {
  // Regularity's formula, (s / q)² / 4, by drawing the second difference of three rounded positions.
  it.each([0.2, 0.35, 0.5])('at a noise of %d steps', (noise) => {
    const chance = seedChance(Math.round(noise * 1000))
    const draws = 200_000
    let escaped = 0
    for (let draw = 0; draw < draws; draw++) {
      const [first, step] = [chance.even(), chance.even() * 10]
      const bend = noise * chance.normal()
      const second = Math.round(first + 2 * step + bend) - 2 * Math.round(first + step) + Math.round(first)
      if (Math.abs(second) > 1) escaped++
    }
    expect(Math.abs(escaped / draws / (noise ** 2 / 4) - 1)).toBeLessThan(0.06)
  })
})
