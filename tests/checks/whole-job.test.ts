/**
 * The checks of order, drive, completion, faults, preconditions and billing on whole jobs, with the real timeline and the general
 * rulebook's numbers: a clean job must raise next to nothing, and each thing done wrong must be told.
 */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { billingChecks } from '../../src/checks/billing/index.ts'
import { completionChecks } from '../../src/checks/completion/index.ts'
import { driveChecks } from '../../src/checks/drive/index.ts'
import { faultsChecks } from '../../src/checks/faults/index.ts'
import { orderChecks } from '../../src/checks/order/index.ts'
import { preconditionsChecks } from '../../src/checks/preconditions/index.ts'
import {
  type CalibrationReading,
  type DateReading,
  type DocumentFacts,
  documentKinds,
} from '../../src/facts/document.ts'
import { instantBounds } from '../../src/facts/instant.ts'
import { buildPacket } from '../../src/packet/build.ts'
import type { Declaration } from '../../src/packet/packet.ts'
import { general } from './general.ts'
import { makeDocument, makePlace } from './packet-builder.ts'
import { runCheck } from './run-check.ts'

const checks = [
  ...orderChecks,
  ...driveChecks,
  ...completionChecks,
  ...faultsChecks,
  ...preconditionsChecks,
  ...billingChecks,
]

/** A date as printed; without an offset it lies anywhere that zones allow. */
function date(local: string, offset: string | null = null): DateReading {
  return { text: local.replace('T', ' '), local, offset, ...instantBounds(local, offset) }
}

const day = '2026-10-20'
const scanner = { name: 'Ombrel 7', serial: 'OM7-0093' }
const radar: CalibrationReading = {
  sensor: 'front-radar',
  position: null,
  method: 'dynamic',
  outcome: 'completed',
  progressPercent: 100,
  started: date(`${day}T14:05:10`),
  ended: date(`${day}T14:16:40`),
  durationSeconds: 690,
}
const camera: CalibrationReading = { ...radar, sensor: 'front-camera', method: 'static' }
delete camera.progressPercent
delete camera.durationSeconds

const mentioned = { position: null, method: 'dynamic', outcome: 'unknown' } as const

interface Job {
  preScan: Partial<DocumentFacts>
  postScan: Partial<DocumentFacts>
  radar: Partial<CalibrationReading>
  camera: Partial<CalibrationReading>
  alignment: DateReading
  drive: { started: DateReading; ended: DateReading }
  declaration: Partial<Declaration>
  more: DocumentFacts[]
}

/** A windshield and a front bumper cover, one camera in the bay, one radar on the road. */
function makeJob(job: Partial<Job> = {}) {
  const windows = {
    camera: { started: date(`${day}T11:00`), ended: date(`${day}T11:35`) },
    drive: { started: date(`${day}T19:58:00`, '+00:00'), ended: date(`${day}T20:31:00`, '+00:00') },
  }
  const { started, ended } = job.drive ?? windows.drive
  const seconds = (Date.parse(ended.earliest) - Date.parse(started.earliest)) / 1000
  const lines = [
    { text: 'Pre-repair scan', kind: 'scan', scan: 'before', calls: [] },
    { text: 'Front camera static calibration', kind: 'calibration', calls: ['front-camera'], method: 'static' },
    { text: 'Front radar dynamic calibration', kind: 'calibration', calls: ['front-radar'], method: 'dynamic' },
    { text: 'Wheel alignment', kind: 'alignment', calls: [] },
    { text: 'Post-repair scan', kind: 'scan', scan: 'after', calls: [] },
  ] as const
  const documents = [
    makeDocument('pre-scan', 'pre.pdf', {
      date: date('2026-10-19T08:31'),
      instrument: scanner,
      codes: [
        { module: 'Front radar', code: 'C1A67', failureType: '54', status: 'active', system: 'driver-assistance' },
      ],
      modules: [{ name: 'Front radar', state: 'fault', system: 'driver-assistance' }],
      ...job.preScan,
    }),
    makeDocument('calibration', 'radar.pdf', { instrument: scanner, calibrations: [{ ...radar, ...job.radar }] }),
    makeDocument('calibration', 'camera.pdf', {
      instrument: { name: 'Lumenara bay', serial: 'LB-220' },
      calibrations: [{ ...camera, ...windows.camera, ...job.camera }],
    }),
    makeDocument('alignment', 'rack.pdf', {
      instrument: { name: 'Tesqua rack', serial: 'T-8' },
      date: job.alignment ?? date(`${day}T09:40`),
      alignment: { values: [], outcome: 'completed' },
      conditions: [{ about: 'steering-zero', text: 'Steering wheel straight' }],
    }),
    makeDocument('drive-log', 'drive.gpx', {
      media: 'application/gpx+xml',
      drive: {
        started,
        ended,
        durationSeconds: seconds,
        distanceMetres: 21_000,
        points: seconds,
        movingSeconds: seconds - 60,
        meanSpeedKmh: 60,
        maxSpeedKmh: 90,
        start: [39.7, -105],
        end: [39.7, -105],
      },
    }),
    makeDocument('post-scan', 'post.pdf', {
      date: date(`${day}T15:02`),
      instrument: scanner,
      codes: [],
      modules: [{ name: 'Front radar', state: 'no-fault', system: 'driver-assistance' }],
      ...job.postScan,
    }),
    makeDocument('invoice', 'invoice.pdf', {
      date: date('2026-10-21'),
      operations: lines.map((line) => ({ ...line, calls: [...line.calls], billed: true })),
      evidence: { 'operations.0': [makePlace('Pre-repair scan')] },
    }),
    ...(job.more ?? []),
  ]
  const declaration: Declaration = {
    zone: 'America/Denver',
    repairs: [
      { what: 'Windshield and front bumper cover replaced', started: '2026-10-19T10:00', ended: `${day}T08:55` },
    ],
    places: {},
    ...job.declaration,
  }
  return buildPacket({ name: 'job', digest: 'sha256:0', reviewed: '2026-10-30', documents, declaration })
}

/** `check message` of every outcome that the general rulebook makes a warn or a fail, sorted. */
function findingsOf(job: Partial<Job> = {}): string[] {
  const packet = makeJob(job)
  return checks
    .flatMap((check) =>
      runCheck(check, packet, { ...general.rules[check.id]?.parameters }, general.procedures).flatMap(
        ({ message, state }) => {
          const worth = state === 'met' ? 'pass' : general.rules[check.id]?.severity[message]
          return worth === 'warn' || worth === 'fail' ? [`${worth}: ${check.id} ${message}`] : []
        },
      ),
    )
    .sort()
}

/** Checks whose claim is met, and by no other outcome in doubt. */
function metIn(job: Partial<Job> = {}): string[] {
  const packet = makeJob(job)
  return checks
    .filter((check) =>
      runCheck(check, packet, { ...general.rules[check.id]?.parameters }, general.procedures).every(
        ({ state }) => state === 'met',
      ),
    )
    .map((check) => check.id)
}

describe('a clean job', () => {
  it('raises nothing, and is met where it shows enough', () => {
    expect(findingsOf()).toEqual([])
    expect(metIn()).toEqual([
      'alignment-precedes-calibration',
      'calibration-follows-repair',
      'drive-inside-calibration',
      'events-do-not-overlap',
      'job-inside-claim',
      'no-work-after-post-scan',
      'nothing-in-the-future',
      'post-scan-follows-calibration',
      'pre-scan-precedes-work',
      'timeline-consistent',
      'drive-duration-agrees',
      'drive-duration-plausible',
      'calibrated-sensor-is-the-one',
      'calibration-completed',
      'calibration-reached-full',
      'progress-consistent',
      'fault-codes-well-formed',
      'modules-respond',
      'no-calibration-faults-left',
      'no-faults-left',
      'no-new-faults',
      'no-pending-faults',
      'permanent-faults-noted',
      'prior-faults-explained',
      'steering-angle-zeroed',
      'billed-is-evidenced',
      'billed-once',
      'evidenced-is-billed',
    ])
  })

  it('raises nothing without a declared zone, since the clocks of one shop share theirs', () => {
    const { zone: _, ...rest } = { zone: '', repairs: makeJob().declaration?.repairs ?? [] }
    expect(findingsOf({ declaration: { ...rest, zone: undefined } as Partial<Declaration> })).toEqual([])
  })

  it('raises nothing where a later paper sums up what was done', () => {
    const summary = makeDocument('other', 'summary.pdf', {
      date: date('2026-10-21T09:00'),
      calibrations: [
        { ...mentioned, sensor: 'front-radar' },
        { ...mentioned, sensor: 'front-camera', method: 'static' },
      ],
    })
    expect(findingsOf({ more: [summary] })).toEqual([])
  })

  it('raises nothing where records carry days alone', () => {
    expect(
      findingsOf({
        preScan: { date: date('2026-10-19') },
        postScan: { date: date(day) },
        alignment: date(day),
        declaration: { repairs: [{ what: 'Windshield replaced', ended: day }] },
      }),
    ).toEqual([])
  })

  it('takes the date of a record for its work where the record states no times', () => {
    const { started: _, ended: __, durationSeconds: ___, ...untimed } = radar
    const record = makeDocument('calibration', 'radar.pdf', {
      instrument: scanner,
      date: date(`${day}T14:16`),
      calibrations: [untimed],
    })
    const packet = makeJob()
    const documents = packet.documents.map((document) => (document.file === 'radar.pdf' ? record : document))
    const again = buildPacket({ ...packet, documents })
    const run = (id: string) => {
      const check = checks.find((each) => each.id === id)
      if (check === undefined) throw new Error(`no check ${id}`)
      return runCheck(check, again, { ...general.rules[id]?.parameters }, general.procedures).map(
        (outcome) => outcome.message,
      )
    }
    expect(run('pre-scan-precedes-work')).toEqual(['in-order'])
    expect(run('post-scan-follows-calibration')).toEqual(['in-order'])
    expect(run('alignment-precedes-calibration')).toEqual(['in-order-by-record'])
    expect(run('calibration-follows-repair')).toEqual(['in-order', 'in-order-by-record'])
  })
})

describe('a job with one thing wrong', () => {
  const post = (time: string) => ({ postScan: { date: date(`${day}T${time}`) } })

  it.each<[string, Partial<Job>, string[]]>([
    ['the post-scan before the drive', post('13:30'), ['fail: post-scan-follows-calibration out-of-order']],
    ['the post-scan while the radar learns', post('14:10'), ['fail: post-scan-follows-calibration out-of-order']],
    [
      'the pre-scan after the repair began',
      { preScan: { date: date('2026-10-19T12:00') } },
      ['fail: pre-scan-precedes-work out-of-order'],
    ],
    [
      'the repair finished after the camera',
      {
        declaration: {
          repairs: [{ what: 'Windshield replaced', started: '2026-10-19T10:00', ended: `${day}T13:00` }],
        },
      },
      ['fail: calibration-follows-repair out-of-order'],
    ],
    [
      'the alignment after the camera',
      { alignment: date(`${day}T12:40`), camera: { started: date(`${day}T09:10`), ended: date(`${day}T09:30`) } },
      ['fail: alignment-precedes-calibration out-of-order-by-record'],
    ],
    [
      'the radar at 87 %',
      { radar: { progressPercent: 87 } },
      ['fail: calibration-reached-full below-full', 'fail: progress-consistent completed-below-full'],
    ],
    ['the camera failed', { camera: { outcome: 'failed' } }, ['fail: calibration-completed failed']],
    [
      'a drive of a minute',
      { radar: { durationSeconds: 60, ended: date(`${day}T14:06:10`) } },
      ['fail: drive-duration-plausible impossible'],
    ],
    [
      'a stated duration that the times do not hold',
      { radar: { durationSeconds: 1500 } },
      [
        'fail: drive-duration-agrees disagree',
        'fail: timeline-consistent conflict',
        'warn: drive-duration-plausible unusual',
      ],
    ],
    [
      'an instrument an hour ahead',
      { drive: { started: date(`${day}T19:03:00`, '+00:00'), ended: date(`${day}T19:20:00`, '+00:00') } },
      [
        'fail: drive-duration-agrees disagree',
        'warn: clocks-agree zone-error',
        'warn: drive-inside-calibration outside-by-hours',
      ],
    ],
    [
      'a code left',
      {
        postScan: {
          codes: [
            { module: 'Front radar', code: 'C1A67', failureType: '54', status: 'active', system: 'driver-assistance' },
          ],
        },
      },
      ['fail: no-calibration-faults-left failure-type', 'fail: no-faults-left fault-left'],
    ],
    [
      'a future record',
      { more: [makeDocument('other', 'note.pdf', { date: date('2026-12-20') })] },
      ['fail: nothing-in-the-future future'],
    ],
  ])('%s', (_, job, expected) => {
    expect(findingsOf(job)).toEqual(expected)
  })
})

describe('any packet', () => {
  const minute = fc.integer({ min: 0, max: 59 }).map((value) => String(value).padStart(2, '0'))
  const local = fc.oneof(
    fc.constantFrom(day, '2026-10-19', '2027-01-05'),
    fc.tuple(fc.integer({ min: 10, max: 19 }), minute).map(([hour, past]) => `${day}T${hour}:${past}`),
  )
  const reading = fc.tuple(local, fc.constantFrom(null, '-06:00', '+00:00')).map(([text, offset]) => date(text, offset))
  const calibration = fc.record(
    {
      sensor: fc.constantFrom('front-radar', 'front-camera', 'corner-radar', 'other'),
      position: fc.constantFrom(null, 'left', 'rear right'),
      method: fc.constantFrom('static', 'dynamic', 'initialisation', 'unknown'),
      outcome: fc.constantFrom('completed', 'failed', 'aborted', 'not-performed', 'unknown'),
      started: reading,
      ended: reading,
      durationSeconds: fc.integer({ min: 0, max: 9000 }),
      progressPercent: fc.integer({ min: 0, max: 100 }),
    },
    { requiredKeys: ['sensor', 'position', 'method', 'outcome'] },
  )
  const code = fc.record(
    {
      module: fc.constantFrom('Front radar', 'Brake'),
      code: fc.constantFrom('C1A67', 'U0155'),
      failureType: fc.constantFrom(null, '54', 'ff'),
      status: fc.constantFrom('active', 'confirmed', 'pending', 'stored', 'permanent', 'unknown'),
    },
    { requiredKeys: ['code', 'failureType', 'status'] },
  )
  const operation = fc.record({
    text: fc.constantFrom('Calibration', 'Pre and post scan', 'Left and right corner radar', ''),
    calls: fc.subarray<'corner-radar' | 'other' | 'steering-angle'>(['corner-radar', 'other', 'steering-angle']),
    billed: fc.boolean(),
    kind: fc.constantFrom('repair', 'scan', 'calibration', 'alignment', 'other'),
  })
  const facts = fc.record(
    {
      date: reading,
      calibrations: fc.array(calibration, { maxLength: 3 }),
      codes: fc.array(code, { maxLength: 3 }),
      statedCodeCount: fc.nat(3),
      operations: fc.array(operation, { maxLength: 3 }),
      problems: fc.array(fc.constant({ code: 'no-text-layer', message: 'a picture' }), { maxLength: 1 }),
    },
    { requiredKeys: [] },
  )
  const document = fc.tuple(fc.constantFrom(...documentKinds), facts)

  it('is answered by every check, with what it declares, and the same whatever the order of its files', () => {
    fc.assert(
      fc.property(fc.array(document, { maxLength: 6 }), (drawn) => {
        const documents = drawn.map(([kind, rest], index) => makeDocument(kind, `${index}.pdf`, rest))
        const source = { name: 'any', digest: 'sha256:0', reviewed: '2026-10-30', declaration: null }
        const packets = [documents, documents.toReversed()].map((files) => buildPacket({ ...source, documents: files }))
        for (const check of checks) {
          const [one, other] = packets.map((packet) =>
            runCheck(check, packet, { ...general.rules[check.id]?.parameters }, general.procedures).map(
              ({ message, data }) => [message, data],
            ),
          )
          expect(one).toEqual(other)
        }
      }),
      { numRuns: 150 },
    )
    // Every check, twice, on each of them.
  }, 60_000)
})
