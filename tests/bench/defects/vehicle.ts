/** Invented vehicles: makers, models, control units and what their sensors are called. */
import { completeVin } from '../../../examples/shop.ts'
import type { Sensor } from '../../../src/facts/document.ts'
import type { Chance } from './chance.ts'

export interface Vehicle {
  vin: string
  year: number
  make: string
  model: string
  plate: string
  colour: string
  /** Placard pressures, kPa. */
  frontKpa: number
  rearKpa: number
  hasParkingSensors: boolean
  hasCornerRadar: boolean
  /** Names of its control units, as every scan of it lists them. */
  modules: string[]
}

const makers = [
  ['Tessaly', ['Ondine', 'Merrow', 'Kestle']],
  ['Orvane', ['Sorrel', 'Pellin', 'Tarn Four']],
  ['Bellune', ['Harrow', 'Sable', 'Civetta']],
  ['Kestova', ['Brant', 'Lindow', 'Arle']],
  ['Marrick', ['Dunlin', 'Veery', 'Oxbow']],
] as const

const colours = ['slate blue', 'white', 'graphite', 'dark green', 'silver', 'rust red']

/** Model year signs of 49 CFR 565.15, table VII, from 2018 on. */
const yearSigns: Record<number, string> = {
  2018: 'J',
  2019: 'K',
  2020: 'L',
  2021: 'M',
  2022: 'N',
  2023: 'P',
  2024: 'R',
  2025: 'S',
}

/** Letters that a VIN may hold. */
const vinLetters = 'ABCDEFGHJKLMNPRSTUVWXYZ'

const moduleWords = [
  {
    engine: 'Engine Control',
    body: 'Body Control',
    brake: 'Anti-lock Brake',
    steering: 'Power Steering',
    restraint: 'Airbag',
    radar: 'Front Radar',
    camera: 'Front Camera',
    corners: ['Left Corner Radar', 'Right Corner Radar'],
    parking: 'Parking Assist',
    surround: 'Surround Camera',
    rear: 'Rear Camera',
    angle: 'Steering Angle Sensor',
    seat: 'Occupant Classification',
    others: [
      'Transmission Control',
      'Instrument Cluster',
      'Gateway',
      'Climate Control',
      'Audio Unit',
      'Telematics',
      'Driver Door',
      'Passenger Door',
      'Rain and Light Sensor',
      'Tire Pressure Monitor',
      'Headlamp Control',
      'Liftgate',
    ],
  },
  {
    engine: 'Powertrain',
    body: 'Body Electronics',
    brake: 'Brake Control',
    steering: 'Electric Steering',
    restraint: 'Restraint System',
    radar: 'Distance Radar',
    camera: 'Forward Camera',
    corners: ['Blind Spot Radar Left', 'Blind Spot Radar Right'],
    parking: 'Parking Sensors',
    surround: 'Around View Camera',
    rear: 'Rear View Camera',
    angle: 'Steering Angle',
    seat: 'Seat Occupancy',
    others: [
      'Gearbox',
      'Cluster',
      'Central Gateway',
      'Air Conditioning',
      'Infotainment',
      'Keyless Entry',
      'Seat Memory Driver',
      'Immobilizer',
      'Trailer Module',
      'Battery Management',
    ],
  },
] as const

/** Which modules words a maker uses; the same for pre- and post-scan. */
export function makeVehicle(chance: Chance, distant: boolean): Vehicle {
  const [make, models] = chance.pick(makers)
  const year = chance.whole(2018, 2025)
  const letter = () => vinLetters[chance.whole(0, vinLetters.length - 1)]
  const body = `${letter()}${letter()}${chance.whole(1, 9)}${letter()}`
  const serial = chance.code('#####')
  // Position 7 is a letter from model year 2010 on (49 CFR 565.15(c)); another region's position 9 is any sign.
  const vin = distant
    ? `X9${chance.pick(['T', 'K', 'V'])}${letter()}${body}Z${yearSigns[year]}${letter()}0${serial}`
    : completeVin(
        `7X${letter()}${body.slice(0, 3)}${letter()}${letter()}0${yearSigns[year]}${letter()}${chance.whole(1, 9)}${serial}`,
      )
  const words = chance.pick(moduleWords)
  const hasParkingSensors = chance.likely(0.5)
  const hasCornerRadar = chance.likely(0.6)
  return {
    vin,
    year,
    make,
    model: chance.pick(models),
    plate: chance.code(chance.pick(['##-@@##', '@@@ ####', '###-@@@'])),
    colour: chance.pick(colours),
    frontKpa: chance.pick([230, 240, 250]),
    rearKpa: chance.pick([220, 230, 240]),
    hasParkingSensors,
    hasCornerRadar,
    modules: [
      words.engine,
      words.body,
      words.brake,
      words.steering,
      words.restraint,
      words.radar,
      words.camera,
      ...(hasCornerRadar ? words.corners : []),
      ...(hasParkingSensors ? [words.parking] : []),
      words.surround,
      words.rear,
      words.angle,
      words.seat,
      ...chance.some(words.others, chance.whole(2, words.others.length)),
    ],
  }
}

/** The control unit of a sensor among the vehicle's modules. */
export function moduleOf(vehicle: Vehicle, sensor: Sensor, position: string | null): string | undefined {
  const at = (form: RegExp) => vehicle.modules.find((name) => form.test(name))
  switch (sensor) {
    case 'front-radar':
      return at(/front radar|distance radar/i)
    case 'front-camera':
      return at(/front camera|forward camera/i)
    case 'corner-radar':
      return at(position?.includes('left') ? /radar.*left|left.*radar/i : /radar.*right|right.*radar/i)
    case 'surround-camera':
      return at(/surround|around/i)
    case 'rear-camera':
      return at(/rear (?:view )?camera/i)
    case 'ultrasonic':
      return at(/parking/i)
    case 'steering-angle':
      return at(/steering angle/i)
    case 'occupant-classification':
      return at(/occup/i)
    default:
      return undefined
  }
}
