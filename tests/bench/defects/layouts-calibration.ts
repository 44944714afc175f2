/** Six calibration layouts: words, and what stands in fields, tables or lines. */
import { type Clock, dateText, stamp, stampText } from './clocks.ts'
import type { AnyPaper, CalibrationEntry, CalibrationPaper } from './draft.ts'
import { headFields, headWords } from './layouts-scan.ts'
import { type Block, known, type Sheet } from './sheet.ts'
import { distanceIn, spanText } from './units.ts'

interface Words {
  sensor: string
  position: string
  method: string
  started: string
  ended: string
  duration: string
  result: string
  progress: string
  serial: string
  part: string
  procedure: string
  data: string
  distance: string
  observer: string
  driver: string
  methods: Record<string, string>
  values: readonly string[]
  attempts: readonly string[]
  steps: readonly string[]
}

const plainMethods = { static: 'Static', dynamic: 'Dynamic', initialisation: 'Initialization' }

const words: readonly Words[] = [
  {
    sensor: 'Sensor',
    position: 'Position',
    method: 'Method',
    started: 'Started',
    ended: 'Ended',
    duration: 'Duration',
    result: 'Result',
    progress: 'Progress',
    serial: 'Sensor serial number',
    part: 'Part number',
    procedure: 'Procedure',
    data: 'Calibration data version',
    distance: 'Distance driven',
    observer: 'Instrument watched by',
    driver: 'Driver',
    methods: plainMethods,
    values: ['Measured value', 'Value', 'Minimum', 'Maximum', 'Assessment'],
    attempts: ['Attempt', 'Time', 'Result', 'Progress'],
    steps: ['Time', 'Progress'],
  },
  {
    sensor: 'System calibrated',
    position: 'Side',
    method: 'Calibration type',
    started: 'Start time',
    ended: 'End time',
    duration: 'Elapsed time',
    result: 'Status',
    progress: 'Progress reached',
    serial: 'Sensor S/N',
    part: 'Part no.',
    procedure: 'Service information',
    data: 'Calibration data',
    distance: 'Drive distance',
    observer: 'Observer',
    driver: 'Driver',
    methods: { static: 'Static, in bay', dynamic: 'Dynamic, road drive', initialisation: 'Initialization' },
    values: ['Parameter', 'Actual', 'Min', 'Max', 'Check'],
    attempts: ['Run', 'Time', 'Outcome', 'Progress'],
    steps: ['Clock', 'Progress'],
  },
  {
    sensor: 'Component',
    position: 'Location',
    method: 'Mode',
    started: 'Begin',
    ended: 'Finish',
    duration: 'Run time',
    result: 'Outcome',
    progress: 'Learning progress',
    serial: 'Component serial no.',
    part: 'Component part no.',
    procedure: 'Repair instruction',
    data: 'Data version',
    distance: 'Distance',
    observer: 'Second person',
    driver: 'Driven by',
    methods: plainMethods,
    values: ['Item', 'Reading', 'Lower limit', 'Upper limit', 'Within limits'],
    attempts: ['No.', 'Time', 'Result', 'Reached'],
    steps: ['Time', 'Percent'],
  },
  {
    sensor: 'Calibrated sensor',
    position: 'Mounting position',
    method: 'Type of calibration',
    started: 'Calibration started',
    ended: 'Calibration ended',
    duration: 'Calibration time',
    result: 'Final result',
    progress: 'Percent complete',
    serial: 'Sensor serial',
    part: 'Sensor part no.',
    procedure: 'OEM procedure',
    data: 'Database version',
    distance: 'Drive distance',
    observer: 'Watched by',
    driver: 'Driver',
    methods: plainMethods,
    values: ['Parameter', 'Measured', 'Low', 'High', 'Result'],
    attempts: ['Attempt', 'At', 'Status', 'Progress'],
    steps: ['At', 'Progress'],
  },
  {
    sensor: 'Assistance system',
    position: 'Side',
    method: 'Procedure type',
    started: 'Time started',
    ended: 'Time ended',
    duration: 'Time taken',
    result: 'Calibration result',
    progress: 'Learned',
    serial: 'Unit serial no.',
    part: 'Unit part no.',
    procedure: 'Service document',
    data: 'Data set',
    distance: 'Distance travelled',
    observer: 'Passenger',
    driver: 'Driver',
    methods: { static: 'Static with targets', dynamic: 'Dynamic', initialisation: 'Zero setting' },
    values: ['Check point', 'Measured value', 'Lower', 'Upper', 'OK'],
    attempts: ['Try', 'Time', 'Conclusion', 'Progress'],
    steps: ['Time', 'Reached'],
  },
  {
    sensor: 'Sensor',
    position: 'Side',
    method: 'Type',
    started: 'Run started',
    ended: 'Run ended',
    duration: 'Run duration',
    result: 'Run result',
    progress: 'Completion',
    serial: 'Serial read from sensor',
    part: 'Hardware part no.',
    procedure: 'Procedure reference',
    data: 'Target data',
    distance: 'Road distance',
    observer: 'Co-driver',
    driver: 'Driver',
    methods: plainMethods,
    values: ['Quantity', 'Actual value', 'Lower limit', 'Upper limit', 'Assessment'],
    attempts: ['Run', 'Time', 'Result', 'Progress'],
    steps: ['Time', 'Progress'],
  },
]

function entryFields(
  entry: CalibrationEntry,
  say: Words,
  clock: Clock,
  dating: AnyPaper['dating'],
  dataVersion: string | null,
  unit: 'mi' | 'km',
) {
  const at = (time: number | null) => (time === null ? null : dateText(clock, time, dating))
  return known([
    [say.sensor, entry.name],
    [say.position, entry.position],
    [say.method, entry.method === 'unknown' ? null : (say.methods[entry.method] ?? entry.method)],
    [say.started, at(entry.started)],
    [say.ended, at(entry.ended)],
    [say.duration, entry.durationSeconds === null ? null : spanText(entry.durationSeconds)],
    [say.result, entry.outcome],
    [say.progress, entry.progress === null ? null : `${entry.progress} %`],
    [say.serial, entry.serial],
    [say.part, entry.part],
    [say.procedure, entry.procedure],
    [say.data, dataVersion],
    [say.distance, entry.distanceMiles === null ? null : `${distanceIn(entry.distanceMiles, unit).toFixed(1)} ${unit}`],
    [say.driver, entry.driver],
    [say.observer, entry.observer],
    ...entry.preparation,
  ])
}

function entryTables({ values, attempts, steps, started }: CalibrationEntry, say: Words, clock: Clock): Block[] {
  const tables: Block[] = []
  if (values.length > 0)
    tables.push({
      kind: 'table',
      heading: 'Measurements',
      columns: say.values,
      rows: values.map(({ name, value, unit, least, most, verdict }) => [
        name,
        `${value.toFixed(2)} ${unit}`,
        least.toFixed(2),
        most.toFixed(2),
        verdict ?? '',
      ]),
      widths: [40, 20, 16, 16, 20],
    })
  if (attempts.length > 0)
    tables.push({
      kind: 'table',
      heading: 'Attempts',
      columns: say.attempts,
      rows: attempts.map(({ at, outcome, progress }, index) => [
        String(index + 1),
        stampText(clock, at),
        outcome,
        `${progress} %`,
      ]),
      widths: [14, 50, 22, 20],
    })
  if (steps.length > 0 && started !== null)
    tables.push({
      kind: 'table',
      heading: 'Progress',
      columns: say.steps,
      rows: steps.map(([after, percent]) => [
        stamp({ ...clock, hours: '24-seconds', printsZone: false }, started + after).hour,
        `${percent} %`,
      ]),
      widths: [30, 70],
    })
  return tables
}

export function calibrationSheet(
  paper: CalibrationPaper,
  issuer: string,
  unit: 'mi' | 'km',
  printsChecks: boolean,
): Sheet {
  const say = words[paper.layout] ?? words[0]!
  const heads = headWords[paper.layout] ?? headWords[0]!
  const { clock, instrument } = paper.head
  const last = paper.entries.at(-1)
  const [only] = paper.entries
  const headline = paper.entries.length === 1 && only ? `${paper.title}: ${only.name}` : paper.title
  return {
    title: headline,
    issuer,
    creator: instrument?.creator ?? 'report',
    made: paper.made,
    missingPage: paper.missingPage,
    blocks: [
      {
        kind: 'fields',
        rows: [
          ...headFields(paper.head, heads, last?.ended ?? null, paper.dating, unit, printsChecks),
          ...known([
            [heads.volts, paper.volts === null ? null : `${paper.volts.toFixed(1)} V`],
            [heads.support, paper.support],
          ]),
        ],
      },
      ...paper.entries.map(
        (entry, index): Block => ({
          kind: 'section',
          name: 'calibration',
          heading: paper.entries.length > 1 && paper.layout % 2 === 0 ? `${index + 1}. ${entry.name}` : null,
          blocks: [
            {
              kind: 'fields',
              rows: entryFields(
                entry,
                say,
                clock,
                paper.dating,
                printsChecks ? (instrument?.dataVersion ?? null) : null,
                unit,
              ),
            },
            ...entryTables(entry, say, clock),
          ],
        }),
      ),
      ...(paper.notes.length > 0 ? [{ kind: 'lines', lines: paper.notes } as const] : []),
    ],
  }
}
