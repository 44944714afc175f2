/** Tire pressures as records print them: one for all wheels or one a wheel, perhaps with what the placard wants behind. */
import type { Condition, Wheel } from '../document.ts'
import { findNumbers, type NumberFound, type NumberStyle } from '../quantity.ts'

/** Units with the pressures that a tire of a road vehicle can have. */
const UNITS: readonly [form: RegExp, unit: string, range: readonly [number, number]][] = [
  [/kpa\b/i, 'kPa', [80, 1000]],
  [/psig?\b/i, 'psi', [12, 145]],
  [/bars?\b/i, 'bar', [0.8, 10]],
]

const TIRES = '(?: (?:tires?|tyres?|wheels?|axle|pressures?))*'
const WHEELS: readonly [form: RegExp, wheel: Wheel][] = [
  [/^(?:fl|lf|front left|left front)\b/i, 'front-left'],
  [/^(?:fr|rf|front right|right front)\b/i, 'front-right'],
  [/^(?:rl|lr|rear left|left rear)\b/i, 'rear-left'],
  [/^(?:rr|rear right|right rear)\b/i, 'rear-right'],
  [/^fronts?\b/i, 'front'],
  [/^rears?\b/i, 'rear'],
]
const WHEEL_WORDS = 'fl|lf|fr|rf|rl|lr|rr|(?:front|rear) (?:left|right)|(?:left|right) (?:front|rear)|fronts?|rears?'
const WHEEL = new RegExp(`\\b(?:${WHEEL_WORDS})\\b`, 'gi')
/** A label that names a wheel or an axle and nothing besides. */
const ONLY_WHEEL = new RegExp(`^(?:(?:tire|tyre|wheel)s? )?(?:${WHEEL_WORDS})${TIRES}$`, 'i')

/** "Front left", "Rear tires": names a wheel or an axle, and nothing else. */
export const namesWheel = (label: string): boolean => ONLY_WHEEL.test(label.replace(/[\s_-]+/g, ' ').trim())

export const wheelOf = (label: string): Wheel | null => wheelsIn(label.replace(/[\s_-]+/g, ' '))[0]?.wheel ?? null

/** The unit of pressure that a text prints, with the least and the most that a tire can have; null for none, or several. */
export function pressureUnitIn(text: string): { unit: string; least: number; most: number } | null {
  const told = UNITS.filter(([form]) => form.test(text))
  const [first] = told
  if (first === undefined || told.length > 1) return null
  const [, unit, [least, most]] = first
  return { unit, least, most }
}

/** From the word for what is wanted to the end of its clause: "placard 240/230", "placard 235 front 225 rear". */
const WANTED = /\b(?:placard|door label|(?:specified|nominal|recommended) (?:tire |tyre )?pressures?)\b[^();]*/i

const SPARE = /\bspare\b\D{0,12}\d[\d.,]*/i
/** "36 psi front and rear" is one figure for all; "front/rear 36/33" and "front 36, rear 33" are not. */
const BOTH_AXLES = /\bfront\s*(?:and|&|\+)\s*rear\b(?!\D{0,8}\d[\d.,]*\D{0,8}\d)/i

interface Wanted {
  front: number
  rear: number
}

/** 35/33 is two pressures here, never a fraction. */
const apart = (text: string) => text.replace(/(\d)\s?\/\s?(?=\d)/g, '$1 / ')

/** One number for all wheels, or one an axle, the front first unless the words say otherwise; null for anything else. */
function wantedOf(text: string, style: NumberStyle): Wanted | null {
  const [first, second, ...more] = findNumbers(apart(text), style).map(({ value }) => value)
  if (first === undefined || more.length > 0) return null
  if (second === undefined) return { front: first, rear: first }
  return /\brear\b.*\bfront\b/i.test(text) ? { front: second, rear: first } : { front: first, rear: second }
}

function wheelsIn(text: string): { wheel: Wheel; at: number }[] {
  return [...text.matchAll(WHEEL)].flatMap((match) => {
    const wheel = WHEELS.find(([form]) => form.test(match[0]))?.[1]
    return wheel === undefined ? [] : [{ wheel, at: match.index }]
  })
}

/**
 * "FL 235 FR 235", "36 psi front, 35 psi rear": each number stands behind the name of its wheel, or each before it; null
 * where one wheel has none or several.
 */
function pairUp(text: string, numbers: readonly NumberFound[]): [number, Wheel][] | null {
  const named = wheelsIn(text)
  if (named.length !== numbers.length || new Set(named.map(({ wheel }) => wheel)).size < named.length) return null
  const starts = numbers.map(({ start }) => start)
  // "Front/rear 36/33": the names all stand first.
  if (named.length > 1 && named.every(({ at }) => at < Math.min(...starts)))
    return numbers.flatMap(({ value }, i): [number, Wheel][] => (named[i] ? [[value, named[i].wheel]] : []))
  const before = (starts[0] ?? 0) < (named[0]?.at ?? 0)
  const pairs = named.flatMap(({ wheel, at }, i): [number, Wheel][] => {
    const from = before ? (named[i - 1]?.at ?? -1) : at
    const to = before ? at : (named[i + 1]?.at ?? text.length)
    const own = numbers.filter(({ start }) => start > from && start < to)
    return own.length === 1 && own[0] ? [[own[0].value, wheel]] : []
  })
  return pairs.length === numbers.length ? pairs : null
}

/**
 * The pressures of a text, each with its wheel where the text or its `label` names it; empty where no unit is printed, or a
 * number is none that a tire can have. `placard`: the value of a label of its own for what is wanted.
 */
export function readTirePressures(text: string, label: string, placard: string, style: NumberStyle): Condition[] {
  const printed = pressureUnitIn(`${text} ${placard}`)
  if (printed === null) return []
  const { unit, least, most } = printed
  const asked = WANTED.exec(text)?.[0] ?? ''
  const rest = apart(text.replace(asked, ' ').replace(SPARE, ' ').replace(BOTH_AXLES, ' '))
  const wanted = wantedOf(asked === '' ? placard : asked, style)
  const numbers = findNumbers(rest, style)
  const isPressure = (value: number) => value >= least && value <= most
  if (numbers.length === 0 || !numbers.every(({ value }) => isPressure(value))) return []
  const make = (value: number, wheel?: Wheel): Condition => {
    const condition: Condition = { about: 'tire-pressure', text, value, unit }
    if (wheel !== undefined) condition.wheel = wheel
    const axle = wheel?.startsWith('front') ? wanted?.front : wanted?.rear
    const pressure = wheel !== undefined || wanted?.front === wanted?.rear ? axle : undefined
    if (pressure !== undefined && isPressure(pressure)) condition.wanted = pressure
    return condition
  }
  if (wheelsIn(rest).length > 0) return (pairUp(rest, numbers) ?? []).map(([value, wheel]) => make(value, wheel))
  const order = wheelsIn(label)
  if (numbers.length === 1 && order.length !== 1) return numbers.map(({ value }) => make(value))
  if (order.length === numbers.length) return numbers.map(({ value }, i) => make(value, order[i]?.wheel))
  return numbers.length === 4 ? numbers.map(({ value }) => make(value)) : []
}
