/** What a job can be: the repairs of a shop, and the calibrations that each usually calls for (common practice, no source). */
import type { CalibrationMethod, Sensor } from '../../../src/facts/document.ts'
import type { Chance } from './chance.ts'
import type { Vehicle } from './vehicle.ts'

export interface PlannedCalibration {
  sensor: Sensor
  position: string | null
  name: string
  method: CalibrationMethod
  /** Was the sensor itself replaced? Then its serial number is typed. */
  replaced: boolean
  serial: string | null
  part: string | null
}

export interface Work {
  repairs: { what: string; line: string; amount: number }[]
  alignment: boolean
  calibrations: PlannedCalibration[]
  notNeeded: { sensor: Sensor; because: string }[]
}

const names: Partial<Record<Sensor, string>> = {
  'front-radar': 'Front radar',
  'front-camera': 'Front camera',
  'corner-radar': 'corner radar',
  'rear-camera': 'Rear camera',
  'surround-camera': 'Surround camera',
  ultrasonic: 'Parking sensors',
  'steering-angle': 'Steering angle sensor',
  'occupant-classification': 'Occupant classification',
}

const one = (
  sensor: Sensor,
  method: CalibrationMethod,
  position: string | null = null,
  replaced = false,
): PlannedCalibration => ({
  sensor,
  position,
  name: position ? `${position[0]?.toUpperCase()}${position.slice(1)} ${names[sensor]}` : (names[sensor] ?? sensor),
  method,
  replaced,
  serial: null,
  part: null,
})

const cameraMethods = (chance: Chance): CalibrationMethod[] =>
  chance.pick([['static'], ['dynamic'], ['static', 'dynamic']])
const radarMethods = (chance: Chance): CalibrationMethod[] =>
  chance.pick([['static'], ['dynamic'], ['dynamic'], ['static', 'dynamic']])

const frontRadar = (chance: Chance, replaced = false) =>
  radarMethods(chance).map((method) => one('front-radar', method, null, replaced))
const frontCamera = (chance: Chance) => cameraMethods(chance).map((method) => one('front-camera', method))
const corners = (replaced = false) => ['left', 'right'].map((side) => one('corner-radar', 'static', side, replaced))

type Recipe = (chance: Chance, vehicle: Vehicle) => Work

const none = { alignment: false, calibrations: [], notNeeded: [] }
const noParking = { sensor: 'ultrasonic', because: 'this model has no parking sensors' } as const
const noCorner = { sensor: 'corner-radar', because: 'this model has no corner radar' } as const

const parking = (vehicle: Vehicle): Pick<Work, 'calibrations' | 'notNeeded'> =>
  vehicle.hasParkingSensors
    ? { calibrations: [one('ultrasonic', 'initialisation')], notNeeded: [] }
    : { calibrations: [], notNeeded: [noParking] }

const recipes: Record<string, Recipe> = {
  windshield: (chance) => ({
    ...none,
    repairs: [{ what: 'Windshield replaced', line: 'Windshield, replace', amount: 684.5 }],
    calibrations: frontCamera(chance),
  }),
  'front-bumper': (chance, vehicle) => {
    const replaced = chance.likely(0.5)
    const { calibrations, notNeeded } = parking(vehicle)
    return {
      ...none,
      repairs: [
        { what: 'Front bumper cover replaced', line: 'Front bumper cover, replace and refinish', amount: 912.4 },
        ...(replaced ? [{ what: 'Front radar replaced', line: 'Front radar, replace', amount: 1140 }] : []),
      ],
      calibrations: [...calibrations, ...frontRadar(chance, replaced)],
      notNeeded,
    }
  },
  'rear-bumper': (chance, vehicle) => {
    const replaced = vehicle.hasCornerRadar && chance.likely(0.3)
    const { calibrations, notNeeded } = parking(vehicle)
    return {
      ...none,
      repairs: [
        { what: 'Rear bumper cover replaced', line: 'Rear bumper cover, replace and refinish', amount: 846 },
        ...(replaced
          ? [{ what: 'Both corner radars replaced', line: 'Corner radars left and right, replace', amount: 1480 }]
          : []),
      ],
      calibrations: [...calibrations, ...(vehicle.hasCornerRadar ? corners(replaced) : [])],
      notNeeded: [...notNeeded, ...(vehicle.hasCornerRadar ? [] : [noCorner])],
    }
  },
  suspension: (chance) => ({
    repairs: [{ what: 'Left lower control arm replaced', line: 'Left lower control arm, replace', amount: 438.2 }],
    alignment: true,
    calibrations: [one('steering-angle', 'initialisation'), ...frontCamera(chance), ...frontRadar(chance)],
    notNeeded: [],
  }),
  mirror: (_, vehicle) => ({
    ...none,
    repairs: [{ what: 'Right door mirror replaced', line: 'Right door mirror, replace', amount: 512 }],
    calibrations: [
      one('surround-camera', 'static'),
      ...(vehicle.hasCornerRadar
        ? [one('corner-radar', 'static', 'right'), one('corner-radar', 'static', 'left')]
        : []),
    ],
    notNeeded: vehicle.hasCornerRadar ? [] : [noCorner],
  }),
  liftgate: () => ({
    ...none,
    repairs: [{ what: 'Liftgate replaced', line: 'Liftgate, replace and refinish', amount: 1320 }],
    calibrations: [one('rear-camera', 'static')],
  }),
  seat: () => ({
    ...none,
    repairs: [{ what: 'Passenger seat frame replaced', line: 'Passenger seat frame, replace', amount: 780 }],
    calibrations: [one('occupant-classification', 'initialisation')],
  }),
  radar: (chance) => ({
    ...none,
    repairs: [{ what: 'Front radar replaced', line: 'Front radar, replace', amount: 1185 }],
    calibrations: frontRadar(chance, true),
  }),
}

const order: CalibrationMethod[] = ['initialisation', 'static', 'dynamic']

/** One or two repairs; their calibrations in the order in which they are done. */
export function planWork(chance: Chance, vehicle: Vehicle): Work {
  const kinds = chance.some(Object.keys(recipes), chance.likely(0.3) ? 2 : 1)
  const works = kinds.flatMap((kind) => recipes[kind]?.(chance, vehicle) ?? [])
  const calibrations: PlannedCalibration[] = []
  for (const one of works.flatMap((work) => work.calibrations)) {
    const known = calibrations.find(
      (other) => other.sensor === one.sensor && other.position === one.position && other.method === one.method,
    )
    if (known) known.replaced ||= one.replaced
    else calibrations.push(one)
  }
  for (const one of calibrations.filter(({ replaced }) => replaced)) {
    const twin = calibrations.find(
      ({ sensor, position, serial }) => sensor === one.sensor && position === one.position && serial !== null,
    )
    one.serial = twin?.serial ?? chance.code('@@##-#######')
    one.part = twin?.part ?? chance.code('@@-####-@#')
  }
  calibrations.sort((a, b) => order.indexOf(a.method) - order.indexOf(b.method))
  // A job that calls for no calibration is none for this bench.
  if (calibrations.length === 0) return planWork(chance, vehicle)
  const notNeeded = works.flatMap((work) => work.notNeeded)
  const repairs = works.flatMap((work) => work.repairs)
  return {
    repairs: repairs.filter(({ line }, index) => repairs.findIndex((other) => other.line === line) === index),
    alignment: works.some((work) => work.alignment),
    calibrations,
    notNeeded: notNeeded.filter(
      ({ sensor }, index) => notNeeded.findIndex((other) => other.sensor === sensor) === index,
    ),
  }
}
