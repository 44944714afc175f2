/** Six scan layouts: their words, and how modules and codes are listed. */
import { dateText, stamp } from './clocks.ts'
import type { AnyPaper, Code, Head, ScanPaper } from './draft.ts'
import { type Block, known, type Sheet } from './sheet.ts'
import { odometerText } from './units.ts'

export interface HeadWords {
  vin: string
  /** One label for day and hour together, or one each. */
  date: string | readonly [string, string]
  job: string
  claim: string
  vehicle: string
  plate: string
  odometer: string
  technician: string
  instrument: string
  serial: string
  software: string
  until: string
  volts: string
  support: string
}

export const headWords: readonly HeadWords[] = [
  {
    vin: 'VIN',
    date: 'Date and time',
    job: 'Repair order',
    claim: 'Claim number',
    vehicle: 'Vehicle',
    plate: 'License plate',
    odometer: 'Odometer',
    technician: 'Technician',
    instrument: 'Instrument',
    serial: 'Instrument serial',
    software: 'Software version',
    until: 'Instrument check due',
    volts: 'Battery voltage',
    support: 'Battery support',
  },
  {
    vin: 'Vehicle ID number',
    date: ['Date', 'Time'],
    job: 'RO number',
    claim: 'Claim no.',
    vehicle: 'Year make model',
    plate: 'Plate no.',
    odometer: 'Mileage',
    technician: 'Performed by',
    instrument: 'Scan tool',
    serial: 'Tool serial no.',
    software: 'Software',
    until: 'Tool check valid until',
    volts: 'System voltage',
    support: 'Battery charger',
  },
  {
    vin: 'Vehicle identification no.',
    date: 'Performed at',
    job: 'Job no.',
    claim: 'Insurance claim',
    vehicle: 'Vehicle',
    plate: 'Registration',
    odometer: 'Odometer reading',
    technician: 'Operator',
    instrument: 'Device',
    serial: 'Device S/N',
    software: 'Device software',
    until: 'Next verification',
    volts: 'Supply voltage',
    support: 'Support unit',
  },
  {
    vin: 'VIN no.',
    date: ['Test date', 'Test time'],
    job: 'Work order',
    claim: 'Claim ref',
    vehicle: 'Make and model',
    plate: 'Plate',
    odometer: 'Odo',
    technician: 'Tech',
    instrument: 'Unit',
    serial: 'Unit serial',
    software: 'Firmware',
    until: 'Check valid to',
    volts: 'Battery',
    support: 'Charger',
  },
  {
    vin: 'Chassis no.',
    date: 'Recorded',
    job: 'Order no.',
    claim: 'Loss number',
    vehicle: 'Car',
    plate: 'Plate number',
    odometer: 'Distance reading',
    technician: 'Technician name',
    instrument: 'Tester',
    serial: 'Tester no.',
    software: 'Program version',
    until: 'Service due',
    volts: 'Voltage',
    support: 'Battery maintainer',
  },
  {
    vin: 'VIN read from vehicle',
    date: 'Timestamp',
    job: 'Job',
    claim: 'Claim',
    vehicle: 'Vehicle description',
    plate: 'Tag',
    odometer: 'Odometer',
    technician: 'User',
    instrument: 'Equipment',
    serial: 'Equipment serial',
    software: 'SW version',
    until: 'Licence valid until',
    volts: 'Battery volts',
    support: 'External supply',
  },
]

/** The head of an instrument's paper. `at` null: it prints no date. */
export function headFields(
  head: Head,
  words: HeadWords,
  at: number | null,
  dating: AnyPaper['dating'],
  unit: 'mi' | 'km',
  printsChecks: boolean,
) {
  const { clock, instrument } = head
  const shown = at === null ? null : stamp(clock, at)
  const date: [string, string | null][] =
    typeof words.date === 'string'
      ? [[words.date, at === null ? null : dateText(clock, at, dating)]]
      : [
          [words.date[0], dating === 'none' ? null : (shown?.day ?? null)],
          [words.date[1], dating === 'full' ? (shown?.hour ?? null) : null],
        ]
  return known([
    [words.vin, head.vin],
    [words.vehicle, `${head.year} ${head.make} ${head.model}`],
    [words.plate, head.plate],
    [words.job, head.job],
    [words.claim, head.claim],
    [words.odometer, odometerText(head.miles, unit)],
    ...date,
    [words.technician, head.technician],
    [words.instrument, instrument?.name ?? null],
    [words.serial, instrument?.serial ?? null],
    [words.software, instrument?.software ?? null],
    [words.until, printsChecks ? (instrument?.checkedUntil ?? null) : null],
  ])
}

const joined = ({ code, type }: Code): string => (type === null ? code : `${code}-${type}`)

function oneTable(scan: ScanPaper, heads: readonly string[], good: string, bad: string, apart: boolean): Block[] {
  const rows = scan.modules.flatMap(({ name, state, codes }): string[][] => {
    const blank = apart ? ['', '', '', ''] : ['', '', '']
    if (state === 'silent') return [[name, 'No response', ...blank]]
    if (codes.length === 0) return [[name, good, ...blank]]
    return codes.map((code) => [
      name,
      bad,
      ...(apart ? [code.code, code.type ?? ''] : [joined(code)]),
      code.status,
      code.text,
    ])
  })
  return [
    {
      kind: 'table',
      heading: 'Modules',
      columns: heads,
      rows,
      widths: apart ? [34, 18, 12, 10, 16, 40] : [34, 18, 16, 16, 40],
    },
  ]
}

function twoTables(
  scan: ScanPaper,
  first: readonly string[],
  second: readonly string[],
  none: string,
  some: (count: number) => string,
): Block[] {
  const modules = scan.modules.map(({ name, state, codes }) => [
    name,
    state === 'silent' ? 'No communication' : codes.length === 0 ? none : some(codes.length),
  ])
  const codes = scan.modules.flatMap(({ name, codes }) =>
    codes.map((code) => [name, joined(code), code.status, code.text]),
  )
  return [
    { kind: 'table', heading: 'Control modules', columns: first, rows: modules, widths: [60, 40] },
    ...(codes.length > 0
      ? [{ kind: 'table', heading: 'Trouble codes', columns: second, rows: codes, widths: [34, 16, 16, 44] } as const]
      : []),
  ]
}

const plural = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`

const bodies: readonly ((scan: ScanPaper) => Block[])[] = [
  (scan) => oneTable(scan, ['Module', 'Result', 'Code', 'Status', 'Description'], 'OK', 'Fault', false),
  (scan) =>
    twoTables(
      scan,
      ['Control unit', 'Result'],
      ['Control unit', 'DTC', 'Status', 'Description'],
      'No faults',
      (count) => plural(count, 'fault'),
    ),
  (scan) => oneTable(scan, ['System', 'State', 'DTC', 'Type', 'Status', 'Text'], 'No DTC', 'DTC stored', true),
  (scan) => twoTables(scan, ['Module', 'Codes'], ['Module', 'Code', 'State', 'Meaning'], '0', (count) => String(count)),
  (scan) =>
    oneTable(
      scan,
      ['ECU', 'Status', 'Fault code', 'Fault status', 'Fault text'],
      'No fault codes',
      'Fault codes stored',
      false,
    ),
  (scan) =>
    twoTables(scan, ['System', 'Status'], ['System', 'Trouble code', 'Status', 'Description'], 'Pass', () => 'Fail'),
]

const countWords: readonly (readonly [string, string])[] = [
  ['Modules read', 'Trouble codes'],
  ['Control units read', 'Faults found'],
  ['Systems scanned', 'DTCs found'],
  ['Modules scanned', 'Total codes'],
  ['ECUs', 'Fault codes total'],
  ['Systems read', 'Codes found'],
]

export function scanSheet(scan: ScanPaper, issuer: string, unit: 'mi' | 'km', printsChecks: boolean): Sheet {
  const words = headWords[scan.layout] ?? headWords[0]!
  const [modules, codes] = countWords[scan.layout] ?? countWords[0]!
  const body = bodies[scan.layout] ?? bodies[0]!
  return {
    title: scan.title,
    issuer,
    creator: scan.head.instrument?.creator ?? 'report',
    made: scan.made,
    missingPage: scan.missingPage,
    blocks: [
      {
        kind: 'fields',
        rows: [
          ...headFields(scan.head, words, scan.at, scan.dating, unit, printsChecks),
          ...known([
            [words.volts, scan.volts === null ? null : `${scan.volts.toFixed(1)} V`],
            [words.support, scan.support],
            [modules, scan.statedModules === null ? null : String(scan.statedModules)],
            [codes, scan.statedCodes === null ? null : String(scan.statedCodes)],
          ]),
        ],
      },
      ...body(scan),
      ...(scan.notes.length > 0 ? [{ kind: 'lines', lines: scan.notes } as const] : []),
    ],
  }
}
