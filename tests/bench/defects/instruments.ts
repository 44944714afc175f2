/** Invented instruments: each has a serial number, a clock that is some minutes off, and a way of setting its papers. */
import type { Chance } from './chance.ts'
import type { Clock, HourStyle } from './clocks.ts'
import type { Shop } from './shop.ts'

export interface Instrument {
  name: string
  serial: string
  software: string | null
  dataVersion: string | null
  /** Last day of its check, `YYYY-MM-DD` before it is printed. */
  checkedUntil: string
  clock: Clock
  /** Which of the layouts of its trade it prints. */
  layout: number
  /** Words that its papers close with. */
  creator: string
}

export const layoutCounts = { scanner: 6, calibrator: 6, aligner: 3, office: 4 } as const

const scanners = ['Gannet 12', 'Lantern S2', 'Dacet 640', 'Orrery Scan', 'Pollard D3', 'Vesper 9']
const calibrators = ['Roadframe 4', 'Wayline C', 'Strider Rig', 'Keelson A2', 'Trueplane 7', 'Merestone']
const aligners = ['Plumb 3', 'Corrow Geo', 'Tracksill W4']

const hours: readonly HourStyle[] = ['24', '24-seconds', '12', '24', '12-seconds']

/** Most clocks are within a minute or two; none is further off than an honest clock that is set now and then. */
function makeClock(chance: Chance, shop: Shop, printsZone: boolean): Clock {
  return {
    zone: shop.zone,
    aheadSeconds: Math.round(Math.max(-140, Math.min(140, 60 * chance.normal()))),
    days: chance.pick(shop.days),
    hours: chance.pick(hours),
    printsZone,
  }
}

function makeInstrument(
  chance: Chance,
  shop: Shop,
  names: readonly string[],
  layouts: number,
  printsZone: boolean,
): Instrument {
  const name = chance.pick(names)
  const initials = name.replaceAll(/[^A-Z0-9]/g, '')
  return {
    name,
    serial: chance.code(`${initials}-#####`),
    software: `${chance.whole(2, 9)}.${chance.whole(0, 12)}.${chance.whole(0, 9)}`,
    dataVersion: `${chance.whole(2025, 2026)}-${String(chance.whole(1, 6)).padStart(2, '0')}`,
    checkedUntil: `2027-${String(chance.whole(1, 12)).padStart(2, '0')}-${String(chance.whole(1, 28)).padStart(2, '0')}`,
    clock: makeClock(chance, shop, printsZone),
    layout: chance.whole(0, layouts - 1),
    creator: `${name} report`,
  }
}

export interface Bench {
  scanner: Instrument
  calibrator: Instrument
  aligner: Instrument
  office: Clock
  officeLayout: number
}

export function makeBench(chance: Chance, shop: Shop, printsZone: boolean): Bench {
  return {
    scanner: makeInstrument(chance, shop, scanners, layoutCounts.scanner, printsZone),
    calibrator: makeInstrument(chance, shop, calibrators, layoutCounts.calibrator, printsZone),
    aligner: makeInstrument(chance, shop, aligners, layoutCounts.aligner, printsZone),
    office: { ...makeClock(chance, shop, false), hours: '24' },
    officeLayout: chance.whole(0, layoutCounts.office - 1),
  }
}
