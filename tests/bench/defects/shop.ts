/** Invented shops with their people, streets and clocks. */
import type { Chance } from './chance.ts'
import type { DayOrder } from './clocks.ts'

export interface Shop {
  name: string
  street: string
  zone: string
  latitude: number
  longitude: number
  insurer: string
  distance: 'mi' | 'km'
  pressure: 'psi' | 'kPa' | 'bar'
  currency: string
  /** How its own papers and instruments may order a date. */
  days: readonly DayOrder[]
  spelling: 'tire' | 'tyre'
  people: { lead: string; second: string; aligner: string; reviewer: string; writer: string }
  /** A shop that calibrates for others. */
  sublet: { name: string; technician: string; second: string }
}

const american: readonly DayOrder[] = ['us', 'us', 'iso', 'named-us', 'named']
const places = [
  {
    zone: 'America/Chicago',
    latitude: 41.0472,
    longitude: -97.9316,
    distance: 'mi',
    pressure: 'psi',
    currency: '$',
    days: american,
    spelling: 'tire',
  },
  {
    zone: 'America/New_York',
    latitude: 40.7731,
    longitude: -77.1148,
    distance: 'mi',
    pressure: 'psi',
    currency: '$',
    days: american,
    spelling: 'tire',
  },
  {
    zone: 'America/Denver',
    latitude: 39.2214,
    longitude: -103.6907,
    distance: 'mi',
    pressure: 'psi',
    currency: '$',
    days: american,
    spelling: 'tire',
  },
  {
    zone: 'America/Phoenix',
    latitude: 33.0517,
    longitude: -112.2098,
    distance: 'mi',
    pressure: 'psi',
    currency: '$',
    days: american,
    spelling: 'tire',
  },
  {
    zone: 'America/Toronto',
    latitude: 43.9112,
    longitude: -80.4405,
    distance: 'km',
    pressure: 'kPa',
    currency: '$',
    days: ['iso', 'iso', 'named'],
    spelling: 'tire',
  },
  {
    zone: 'Europe/London',
    latitude: 52.4903,
    longitude: -0.5541,
    distance: 'mi',
    pressure: 'bar',
    currency: '£',
    days: ['eu-slashes', 'named', 'iso'],
    spelling: 'tyre',
  },
  {
    zone: 'Australia/Adelaide',
    latitude: -34.2207,
    longitude: 138.9316,
    distance: 'km',
    pressure: 'kPa',
    currency: '$',
    days: ['eu-slashes', 'named', 'iso'],
    spelling: 'tyre',
  },
] as const

const names = [
  'Mossgate Collision Center',
  'Fallow Lane Body Works',
  'Brightwater Auto Body',
  'Ashdown & Rook Repairs',
  'Pinmarsh Collision',
  'Three Mile Panel and Paint',
]
const streets = [
  '2210 County Road 14, Tarrow Creek',
  '18 Old Mill Way, Harrowby',
  '455 Quarry Road, Ellsmere Flat',
  '7 Station Yard, Cobble End',
]
const insurers = ['Quillwater Mutual', 'Harbour Oak Insurance', 'Third Lantern Assurance']
const sublets = ['Trueline Sensor Service', 'Plumb & Level Calibrations', 'Northmark Aiming']
const givens = [
  'Della',
  'Owen',
  'Ruth',
  'Ansel',
  'Maren',
  'Tobias',
  'Inga',
  'Cormac',
  'Petra',
  'Lionel',
  'Yara',
  'Desmond',
]
const families = [
  'Farrow',
  'Strick',
  'Amberley',
  'Rook',
  'Holloway',
  'Pell',
  'Tarrant',
  'Vance',
  'Quill',
  'Marsh',
  'Dunmore',
  'Ebbing',
]

export function makeShop(chance: Chance): Shop {
  const place = chance.pick(places)
  const people = chance.some(families, 7).map((family) => `${chance.pick(givens)} ${family}`)
  const [lead = '', second = '', aligner = '', reviewer = '', writer = '', technician = '', other = ''] = people
  return {
    ...place,
    name: chance.pick(names),
    street: chance.pick(streets),
    insurer: chance.pick(insurers),
    people: { lead, second, aligner, reviewer, writer },
    sublet: { name: chance.pick(sublets), technician, second: other },
  }
}
