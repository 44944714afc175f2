/** Sensors, their positions, vehicle systems and calibration methods, out of the words that name them. */
import type { CalibrationMethod, Sensor, VehicleSystem } from '../document.ts'
import type { Vocabulary } from '../vocabulary.ts'

export interface SensorFound {
  sensor: Sensor
  /** Share of the text's words that name the sensor, 0 to 1. */
  share: number
}

/** The sensor that a text names; null when it names none. Long phrases win over short ones. */
export function sensorOf(text: string, vocabulary: Vocabulary): SensorFound | null {
  const tokens = vocabulary.tokens(text)
  const found = vocabulary.sensors.within(tokens)
  const order = (entry: { key: Sensor }) => (entry.key === 'other' ? 1 : 0)
  const best = found
    .flatMap((hit) => hit.entries.map((entry) => ({ ...entry, from: hit.from })))
    .sort((a, b) => order(a) - order(b) || b.length - a.length || a.from - b.from)[0]
  if (!best) return null
  return { sensor: best.key, share: best.length / Math.max(1, tokens.length) }
}

/** All distinct sensors that a text names, in order of mention, without `other`. */
export function sensorsOf(text: string, vocabulary: Vocabulary): Sensor[] {
  const found = vocabulary.sensors.within(vocabulary.tokens(text)).sort((a, b) => a.from - b.from)
  return [
    ...new Set(found.map((hit) => hit.entries[0]?.key).filter((key) => key !== undefined && key !== 'other')),
  ] as Sensor[]
}

const SIDED: ReadonlySet<Sensor> = new Set<Sensor>([
  'corner-radar',
  'ultrasonic',
  'surround-camera',
  'headlamp',
  'ride-height',
  'occupant-classification',
  'lidar',
])

/**
 * The position that a text gives a sensor: `left`, `right`, `rear left`, …; `left and right` where both are named; null
 * where none is, or where the sensor has one place only.
 */
export function positionOf(text: string, sensor: Sensor, vocabulary: Vocabulary): string | null {
  if (!SIDED.has(sensor)) return null
  const tokens = vocabulary.tokens(text)
  const named = new Set(vocabulary.positions.within(tokens).flatMap((hit) => hit.entries.map((entry) => entry.key)))
  const side =
    named.has('left') && named.has('right')
      ? 'left and right'
      : named.has('left')
        ? 'left'
        : named.has('right')
          ? 'right'
          : ''
  // "Rear" is a corner radar's usual place and says little; it counts beside a side.
  const end =
    named.has('front') && !named.has('rear') ? 'front' : named.has('rear') && !named.has('front') ? 'rear' : ''
  if (side === '') return sensor === 'ultrasonic' && end !== '' ? end : null
  return end === '' ? side : `${end} ${side}`
}

/** The system of the vehicle that a module of this name serves. */
export function systemOf(name: string, vocabulary: Vocabulary): VehicleSystem {
  const sensor = sensorOf(name, vocabulary)?.sensor
  if (sensor === 'steering-angle') return 'steering'
  if (sensor === 'occupant-classification') return 'restraint'
  if (sensor && !['other', 'headlamp', 'ride-height'].includes(sensor)) return 'driver-assistance'
  const hits = vocabulary.systems.within(vocabulary.tokens(name))
  return hits[0]?.entries[0]?.key ?? 'other'
}

/** The calibration method that a text names; null when it names none or contradicts itself. */
export function methodOf(text: string, vocabulary: Vocabulary): CalibrationMethod | null {
  const tokens = vocabulary.tokens(text)
  const hits = vocabulary.methods.within(tokens)
  const plain = (['static', 'dynamic'] as const).filter((word) => tokens.includes(word))
  if (plain.length === 1) {
    const initial = hits.find((hit) => hit.entries[0]?.key === 'initialisation')
    return initial && initial.length > 1 ? 'initialisation' : (plain[0] ?? null)
  }
  if (plain.length > 1) return null
  const keys = new Set(hits.map((hit) => hit.entries[0]?.key))
  if (keys.size === 1) return [...keys][0] ?? null
  return hits[0] && hits[0].length > (hits[1]?.length ?? 0) ? (hits[0].entries[0]?.key ?? null) : null
}
