/** A clean job from loss to release: what happened when, and the papers that were kept of it. */
import type { Chance } from './chance.ts'
import { makeChance } from './chance.ts'
import { type Clock, faceOf, timeOfFace } from './clocks.ts'
import type { AnyPaper, CalibrationEntry, Code, Draft, Head, Profile, ScannedModule } from './draft.ts'
import { type Driven, driveLegs, planLoop } from './drive.ts'
import { type Bench, type Instrument, makeBench } from './instruments.ts'
import { billsOf, declaredOf, noteOf, photosOf } from './office.ts'
import { attemptsOf, preparationOf, stepsOf, valuesOf } from './record.ts'
import { makeShop, type Shop } from './shop.ts'
import { makeVehicle, moduleOf, type Vehicle } from './vehicle.ts'
import { type PlannedCalibration, planWork, type Work } from './work.ts'

export interface Performed {
  plan: PlannedCalibration
  started: number
  ended: number
  drive: (Driven & { start: number }) | null
  miles: number
}

/** Everything true of one job. */
export interface Job {
  seed: number
  profile: Profile
  chance: Chance
  shop: Shop
  vehicle: Vehicle
  bench: Bench
  work: Work
  number: string
  claim: string
  hasDeclaration: boolean
  sublet: boolean
  loss: number
  intake: number
  preScan: number
  estimate: number
  repair: { started: number; ended: number }
  cleared: number
  alignment: { started: number; ended: number } | null
  performed: Performed[]
  postScan: number
  checked: number
  invoice: number
  release: number
  milesIn: number
  milesAligned: number
  milesOut: number
  codesBefore: Map<string, Code[]>
  codesAfter: Map<string, Code[]>
}

const day = 86_400
const minute = 60

/** True time of an hour of the day in the shop's zone, `days` after the day of `time`. */
function hourOf(time: number, shop: Shop, days: number, hours: number): number {
  const face = faceOf(time, shop.zone)
  const midnight = face - (((face % day) + day) % day)
  return timeOfFace(midnight + days * day + Math.round(hours * 3600), shop.zone)
}

const localHour = (time: number, shop: Shop): number => (((faceOf(time, shop.zone) % day) + day) % day) / 3600

/** Days on which clocks are set forward or back in some of the shops' zones. */
const changeDays = ['2026-03-08', '2026-03-29', '2026-10-25', '2025-11-02', '2026-04-05', '2026-10-04']

function pickDay(chance: Chance, shop: Shop): number {
  const noon = chance.likely(0.08)
    ? Date.parse(`${chance.pick(changeDays)}T12:00:00Z`) / 1000 - chance.whole(0, 2) * day
    : Date.parse('2026-01-12T12:00:00Z') / 1000 + chance.whole(0, 270) * day
  return hourOf(noon, shop, 0, 12)
}

const usesRoad = ({ method }: PlannedCalibration): boolean => method === 'dynamic'

function driveFor(chance: Chance, shop: Shop, plan: PlannedCalibration): Driven {
  const radar = plan.sensor === 'front-radar'
  const long = !radar && chance.likely(0.15)
  const seconds = long ? chance.whole(1500, 1750) : chance.whole(420, radar ? 840 : 1300)
  const speed = radar ? 20.5 + 3 * chance.even() : 15 + 7 * chance.even()
  return driveLegs(chance, {
    latitude: shop.latitude + 0.0006 * chance.normal(),
    longitude: shop.longitude + 0.0006 * chance.normal(),
    legs: planLoop(chance, seconds, speed, chance.whole(0, 2)),
    turn: chance.pick([90, -90]),
    heading: chance.whole(0, 359),
    interval: chance.pick([1, 1, 1, 1, 5, 0.2]),
  })
}

const unaffected: Code[] = [
  { code: 'U0155', type: '00', status: 'History', text: 'Lost communication with instrument panel' },
  { code: 'B1342', type: '17', status: 'History', text: 'Supply voltage above threshold' },
]
const struck: Code[] = [
  { code: 'C1A67', type: '54', status: 'Active', text: 'Calibration data missing' },
  { code: 'C1B14', type: '78', status: 'Active', text: 'Alignment incorrect' },
  { code: 'U1428', type: '13', status: 'Confirmed', text: 'Circuit open' },
]

function codesOf(job: Pick<Job, 'chance' | 'vehicle' | 'work'>): Pick<Job, 'codesBefore' | 'codesAfter'> {
  const { chance, vehicle, work } = job
  const codesBefore = new Map<string, Code[]>()
  const codesAfter = new Map<string, Code[]>()
  for (const { sensor, position } of work.calibrations) {
    const module = moduleOf(vehicle, sensor, position)
    if (module && chance.likely(0.5)) codesBefore.set(module, [chance.pick(struck)])
  }
  if (chance.likely(0.12)) {
    const module = vehicle.modules.find((name) => /cluster|infotain|audio/i.test(name))
    const code = chance.pick(unaffected)
    if (module) for (const codes of [codesBefore, codesAfter]) codes.set(module, [code])
  }
  return { codesBefore, codesAfter }
}

/** Lays the job out in time. Gaps are those of a working day, and longer than honest clocks are off. */
export function makeJob(seed: number, profile: Profile): Job {
  const chance = makeChance(seed)
  const shop = makeShop(chance)
  const hasDeclaration = chance.likely(profile === 'complete' ? 0.75 : 0.5)
  const bench = makeBench(chance, shop, !hasDeclaration && chance.likely(profile === 'complete' ? 1 : 0.4))
  const vehicle = makeVehicle(chance, chance.likely(0.05))
  if (!hasDeclaration) Object.assign(vehicle, { hasParkingSensors: true, hasCornerRadar: true })
  if (!hasDeclaration) completeModules(vehicle)
  const work = planWork(chance, vehicle)
  const arrival = pickDay(chance, shop)
  const loss = hourOf(arrival, shop, -chance.whole(2, 12), 8 + 10 * chance.even())
  const intake = hourOf(arrival, shop, 0, 7.5 + 1.5 * chance.even())
  const preScan = intake + chance.whole(15, 40) * minute
  const estimate = preScan + chance.whole(30, 90) * minute
  const started = hourOf(arrival, shop, chance.whole(1, 2), 8 + 1.5 * chance.even())
  const ended = started + chance.whole(60, 200) * minute
  const cleared = ended + 12 * minute
  let cursor = chance.likely(0.4)
    ? hourOf(ended, shop, 1, 8 + 1.5 * chance.even())
    : cleared + chance.whole(20, 45) * minute
  let alignment: Job['alignment'] = null
  if (work.alignment) {
    alignment = { started: cursor, ended: cursor + chance.whole(30, 50) * minute }
    cursor = alignment.ended + chance.whole(20, 40) * minute
  }
  const milesIn = chance.whole(4000, 90_000)
  let miles = milesIn + chance.whole(0, 2)
  const milesAligned = miles
  const performed: Performed[] = []
  for (const plan of work.calibrations) {
    if (localHour(cursor, shop) > (usesRoad(plan) ? 14 : 16.5))
      cursor = hourOf(cursor, shop, 1, 9.5 + 1.5 * chance.even())
    if (plan.sensor === 'front-radar' && usesRoad(plan) && chance.likely(0.1))
      cursor = hourOf(cursor, shop, 0, 19 + chance.even())
    const begun = Math.round(cursor)
    if (usesRoad(plan)) {
      const driven = driveFor(chance, shop, plan)
      const start = begun + chance.whole(8, 20)
      miles += driven.metres / 1609.344
      const until = Math.round(start + driven.seconds + chance.whole(5, 18))
      performed.push({ plan, started: begun, ended: until, drive: { ...driven, start }, miles })
      cursor = until
    } else {
      const length = plan.method === 'static' ? chance.whole(14, 40) : chance.whole(3, 8)
      performed.push({ plan, started: begun, ended: begun + length * minute + chance.whole(0, 59), drive: null, miles })
      cursor = begun + length * minute
    }
    cursor += chance.whole(18, 40) * minute
  }
  if (localHour(cursor, shop) > 20.5) cursor = hourOf(cursor, shop, 1, 8.5)
  const postScan = Math.round(cursor)
  const checked = postScan + chance.whole(20, 40) * minute
  const invoice = checked + chance.whole(15, 50) * minute
  const release = chance.likely(0.3)
    ? hourOf(invoice, shop, 1, 9 + 6 * chance.even())
    : invoice + chance.whole(20, 60) * minute
  const base = { chance, vehicle, work }
  return {
    ...base,
    ...codesOf(base),
    seed,
    profile,
    shop,
    bench,
    number: chance.code('26-####'),
    claim: chance.code('@@-###-#####'),
    hasDeclaration,
    sublet: chance.likely(0.15),
    loss,
    intake,
    preScan,
    estimate,
    repair: { started, ended },
    cleared,
    alignment,
    performed,
    postScan,
    checked,
    invoice,
    release,
    milesIn,
    milesAligned,
    milesOut: miles,
  }
}

/** A vehicle without a declaration has every sensor that its repairs could call for: nothing is left to be explained. */
function completeModules(vehicle: Vehicle): void {
  const has = (form: RegExp) => vehicle.modules.some((name) => form.test(name))
  const newer = has(/forward camera/i)
  const missing = [
    ...(has(/corner radar|blind spot/i)
      ? []
      : newer
        ? ['Blind Spot Radar Left', 'Blind Spot Radar Right']
        : ['Left Corner Radar', 'Right Corner Radar']),
    ...(has(/parking/i) ? [] : [newer ? 'Parking Sensors' : 'Parking Assist']),
  ]
  vehicle.modules.splice(7, 0, ...missing)
}

export function headOf(
  job: Job,
  parts: { clock: Clock; miles: number | null; technician: string | null; instrument: Instrument | null },
): Head {
  const { vin, plate, year, make, model } = job.vehicle
  return { vin, plate, year, make, model, job: job.number, claim: job.claim, ...parts }
}

const formats = ['pdf', 'pdf', 'pdf', 'txt', 'txt', 'csv', 'json', 'xml'] as const

function scanOf(job: Job, when: 'before' | 'after', format: AnyPaper['format']): AnyPaper {
  const { bench, shop, chance, profile } = job
  const at = when === 'before' ? job.preScan : job.postScan
  const codes = when === 'before' ? job.codesBefore : job.codesAfter
  const modules: ScannedModule[] = job.vehicle.modules.map((name) => ({
    name,
    state: 'answers',
    codes: codes.get(name) ?? [],
  }))
  const title =
    when === 'before'
      ? chance.pick(['Pre-repair scan', 'Pre-scan report', 'Vehicle scan before repair'])
      : chance.pick(['Post-repair scan', 'Post-scan report', 'Vehicle scan after repair'])
  return {
    kind: 'scan',
    when,
    title,
    file: `${when === 'before' ? 'pre-scan' : 'post-scan'} ${job.number}.${format}`,
    format,
    layout: bench.scanner.layout,
    head: headOf(job, {
      clock: bench.scanner.clock,
      miles: Math.round(when === 'before' ? job.milesIn : job.milesOut),
      technician: shop.people.second,
      instrument: bench.scanner,
    }),
    made: at + chance.whole(40, 200),
    missingPage: 0,
    dating: 'full',
    at,
    modules,
    volts: profile === 'complete' || chance.likely(0.7) ? 12.5 + chance.whole(0, 14) / 10 : null,
    support: profile === 'complete' ? chance.pick(['connected', 'on, 30 A', 'charger on']) : null,
    statedCodes: modules.reduce((sum, module) => sum + module.codes.length, 0),
    statedModules: modules.length,
    notes: [],
  }
}

function entryOf(job: Job, { plan, started, ended, drive }: Performed): CalibrationEntry {
  const { chance, profile, shop } = job
  const complete = profile === 'complete'
  const reports = plan.method === 'dynamic'
  const lead = job.sublet ? shop.sublet : { technician: shop.people.lead, second: shop.people.second }
  return {
    ...plan,
    started,
    ended,
    durationSeconds: complete || chance.likely(0.6) ? ended - started : null,
    outcome: chance.pick(['Completed', 'Completed', 'Successful', 'Passed']),
    progress: reports ? 100 : null,
    steps: reports && chance.likely(complete ? 0.6 : 0.2) ? stepsOf(chance, ended - started) : [],
    attempts: [],
    procedure:
      complete || chance.likely(0.8)
        ? `${chance.code('@@@ ##-####')}, issued 2026-0${chance.whole(1, 5)}-1${chance.whole(0, 9)}`
        : null,
    values: valuesOf(chance, plan, complete),
    distanceMiles: drive && chance.likely(0.6) ? drive.metres / 1609.344 : null,
    observer: reports && complete ? lead.second : null,
    driver: reports && complete ? lead.technician : null,
    preparation: complete ? preparationOf(chance, job, plan) : [],
  }
}

function calibrationsOf(job: Job, format: AnyPaper['format']): AnyPaper[] {
  const { bench, chance, profile, shop } = job
  const technician = job.sublet ? shop.sublet.technician : shop.people.lead
  const together = job.performed.length > 1 && job.performed.length < 4 && chance.likely(0.25)
  const groups = together ? [job.performed] : job.performed.map((one) => [one])
  return groups.map((group, index): AnyPaper => {
    const entries = group.map((one) => entryOf(job, one))
    const last = group.at(-1)
    const [first] = entries
    const ended = last?.ended ?? job.postScan
    if (entries.length === 1 && first) attemptsOf(chance, first)
    const name = together ? 'calibrations' : `${first?.name.toLowerCase()} ${first?.method}`
    return {
      kind: 'calibration',
      title: together
        ? 'Calibration report'
        : chance.pick(['Calibration record', 'Calibration report', 'Sensor calibration']),
      file: `${index + 1} ${name} ${job.number}.${format}`,
      format,
      layout: bench.calibrator.layout,
      head: headOf(job, {
        clock: bench.calibrator.clock,
        miles: Math.round(last?.miles ?? job.milesOut),
        technician,
        instrument: bench.calibrator,
      }),
      made: ended + chance.whole(40, 300),
      missingPage: 0,
      dating: 'full',
      entries,
      volts: profile === 'complete' || chance.likely(0.6) ? 12.9 + chance.whole(0, 14) / 10 : null,
      support: profile === 'complete' ? chance.pick(['connected', 'on, 50 A', 'charger on']) : null,
      notes: [],
    }
  })
}

function drivesOf(job: Job): AnyPaper[] {
  return job.performed.flatMap(({ plan, drive }, index): AnyPaper[] => {
    if (!drive) return []
    const log = job.chance.pick(['gpx', 'nmea', 'csv'] as const)
    return [
      {
        kind: 'drive',
        file: `drive ${index + 1} ${job.number}.${log}`,
        format: 'txt',
        layout: job.chance.whole(0, 1),
        head: headOf(job, {
          clock: { ...job.bench.calibrator.clock, aheadSeconds: 0, printsZone: true },
          miles: null,
          technician: null,
          instrument: null,
        }),
        made: drive.start + Math.round(drive.seconds),
        missingPage: 0,
        dating: 'full',
        log,
        sensor: plan.sensor,
        start: drive.start,
        samples: drive.samples,
      },
    ]
  })
}

function alignmentOf(job: Job, format: AnyPaper['format']): AnyPaper[] {
  const { alignment, bench, chance, shop } = job
  if (!alignment) return []
  const row = (name: string, middle: number, spread: number) => ({
    name,
    before: middle + spread * (1.2 + chance.even()),
    after: middle + spread * 0.7 * (chance.even() - 0.5),
    least: middle - spread,
    most: middle + spread,
  })
  return [
    {
      kind: 'alignment',
      file: `wheel alignment ${job.number}.${format}`,
      format,
      layout: bench.aligner.layout,
      head: headOf(job, {
        clock: bench.aligner.clock,
        miles: job.milesAligned,
        technician: shop.people.aligner,
        instrument: bench.aligner,
      }),
      made: alignment.ended + 60,
      missingPage: 0,
      dating: 'full',
      ...alignment,
      rows: [
        row('Front left camber', -0.4, 0.5),
        row('Front right camber', -0.4, 0.5),
        row('Front left toe', 0.1, 0.1),
        row('Front right toe', 0.1, 0.1),
        row('Rear left toe', 0.12, 0.12),
        row('Rear right toe', 0.12, 0.12),
        row('Thrust angle', 0, 0.15),
      ],
      notes: [],
    },
  ]
}

/** The papers of a clean job. */
export function makeDraft(seed: number, profile: Profile): Draft {
  const job = makeJob(seed, profile)
  const { chance } = job
  const [scanFormat, calibrationFormat, alignmentFormat] = [
    chance.pick(formats),
    chance.pick(formats),
    chance.pick(['pdf', 'pdf', 'txt'] as const),
  ]
  const calibrations = calibrationsOf(job, calibrationFormat)
  const papers = [
    scanOf(job, 'before', scanFormat),
    ...alignmentOf(job, alignmentFormat),
    ...calibrations,
    ...drivesOf(job),
    scanOf(job, 'after', scanFormat),
    ...billsOf(job),
    ...noteOf(job, calibrations),
    ...photosOf(job, calibrations),
  ]
  return {
    seed,
    profile,
    shop: job.shop,
    vehicle: job.vehicle,
    papers,
    declared: job.hasDeclaration ? declaredOf(job) : null,
    damage: [],
    extra: [],
  }
}
