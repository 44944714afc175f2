/** The plan is the catalogue read backwards: whoever follows it has a packet that the checks find complete. */
import fc from 'fast-check'
import { beforeAll, describe, expect, test } from 'vitest'
import { collectRequired } from '../../src/checks/completeness/required-calibrations.ts'
import { checks } from '../../src/checks/index.ts'
import { sensors } from '../../src/facts/document.ts'
import { agreesInPosition } from '../../src/facts/position.ts'
import type { Vocabulary } from '../../src/facts/vocabulary.ts'
import { judge } from '../../src/findings/judge.ts'
import type { Finding } from '../../src/findings/report.ts'
import { buildPacket } from '../../src/packet/build.ts'
import type { Packet } from '../../src/packet/packet.ts'
import { makePlan, type Plan } from '../../src/plan/plan.ts'
import { general } from '../checks/general.ts'
import { makeDocument, makePacket } from '../checks/packet-builder.ts'
import { listErrors, validatePlan } from '../findings/schemas.ts'
import { exampleFolder, exampleNames, readJobs } from './jobs.ts'

let vocabulary: Vocabulary
let examples: Map<string, Packet>
beforeAll(async () => {
  const read = await readJobs(exampleNames.map(exampleFolder))
  vocabulary = read.vocabulary
  examples = new Map(read.packets.map((packet) => [packet.name, packet]))
}, 120_000)

const planOf = (packet: Packet): Plan => makePlan(packet, checks, general, vocabulary)
const tasksOf = (plan: Plan) => plan.steps.flatMap(({ tasks }) => tasks)
const served = (plan: Plan): Set<string> =>
  new Set(tasksOf(plan).flatMap(({ serves }) => serves.map(({ check }) => check)))

function example(name: string): Packet {
  const packet = examples.get(name)
  if (packet === undefined) throw new Error(`no example ${name}`)
  return packet
}

/** The packet with only some of its files, as it stands while the work goes on. */
function keepFiles(packet: Packet, wanted: (kind: string, file: string) => boolean): Packet {
  const { name, digest, reviewed, declaration, content } = packet
  const documents = packet.documents.filter(({ kind, file }) => wanted(kind, file))
  return buildPacket({ name, digest, reviewed, declaration, content, documents })
}

/** Asked for where a sensor is replaced; where only its mount is, as here, the record itself shows angle and number. */
const onlyForSome: ReadonlySet<string> = new Set(['sensor-angle-set', 'sensor-serial-agrees'])

/** Checks that ask for nothing themselves: those that ask for all that they read. */
const servedBy: Record<string, readonly string[]> = {
  'vin-agrees': ['vin-present', 'vin-seen-on-vehicle'],
  'vin-well-formed': ['vin-present'],
  'vehicle-matches-vin': ['vin-present'],
  'equipment-agrees': ['calibration-recorded', 'pre-scan-present', 'post-scan-present'],
  'sensor-part-agrees': ['sensor-serial-agrees'],
  // A file that has a role is one that another check asks for.
  'files-recognised': ['files-readable'],
  'scan-covers-vehicle': ['pre-scan-present', 'post-scan-present'],
  'events-do-not-overlap': ['dates-present'],
  'nothing-in-the-future': ['dates-present'],
  'no-work-after-post-scan': ['post-scan-follows-calibration', 'calibration-follows-repair'],
  'photos-distinct': ['vin-seen-on-vehicle'],
  // What an archive knows is for whoever keeps it; what it compares is what other checks ask for.
  'evidence-not-seen-before': ['files-readable'],
  'people-in-one-place': ['technician-named', 'equipment-named', 'dates-present'],
  'photos-inside-job': ['job-inside-claim', 'dates-present'],
  'static-precedes-dynamic': ['calibration-recorded', 'dates-present'],
  'timeline-consistent': ['dates-present', 'clocks-agree'],
  'drive-inside-calibration': ['drive-recorded', 'drive-duration-agrees'],
  'drive-distance-agrees': ['drive-recorded', 'calibration-recorded'],
  'drive-in-daylight': ['drive-duration-agrees', 'dates-present'],
  'drive-not-synthetic': ['drive-recorded', 'drive-log-continuous'],
  'drive-physically-possible': ['drive-recorded', 'drive-log-continuous'],
  'drive-starts-at-shop': ['drive-recorded'],
  'clock-plausible': ['clocks-agree', 'dates-present'],
  'drive-duration-plausible': ['drive-duration-agrees'],
  'progress-consistent': ['calibration-reached-full'],
  'attempts-disclosed': ['calibration-recorded', 'calibration-completed'],
  'calibrated-sensor-is-the-one': ['calibration-recorded'],
  'fault-codes-well-formed': ['pre-scan-present', 'post-scan-present'],
  'fault-count-agrees': ['pre-scan-present', 'post-scan-present'],
  'modules-respond': ['post-scan-present'],
  'no-calibration-faults-left': ['post-scan-present'],
  'manifest-agrees': ['seal-intact'],
  'no-active-content': ['files-readable'],
  'pdf-signature-holds': ['files-readable'],
  'text-matches-picture': ['files-readable'],
  'seal-timestamped': ['seal-intact'],
  'seal-trusted': ['seal-intact'],
  'no-faults-left': ['post-scan-present'],
  'no-new-faults': ['pre-scan-present', 'post-scan-present'],
  'no-pending-faults': ['post-scan-present'],
  'permanent-faults-noted': ['post-scan-present'],
  'billed-once': ['billed-is-evidenced'],
  'evidenced-is-billed': ['billed-is-evidenced'],
}

describe('the catalogue', () => {
  const asking = checks.filter(({ collect }) => collect.length > 0).map(({ id }) => id)
  const silent = checks.filter(({ collect }) => collect.length === 0).map(({ id }) => id)

  test('asks for what each check needs, there or with other checks', () => {
    expect(Object.keys(servedBy).toSorted()).toEqual(silent.toSorted())
    const idle = Object.entries(servedBy).filter(([, by]) => by.length === 0 || by.some((id) => !asking.includes(id)))
    expect(idle).toEqual([])
  })

  test('is asked for in full by a job that has everything', () => {
    const plan = planOf(everything())
    expect(asking.filter((id) => !served(plan).has(id))).toEqual([])
  })
})

/** A job with a repair, an alignment, a new sensor, and a calibration by each method. */
function everything(): Packet {
  const estimate = makeDocument('estimate', 'estimate.pdf', {
    operations: [
      { text: 'Front radar: replace', kind: 'repair', calls: ['front-radar'], billed: false },
      { text: 'Four wheel alignment', kind: 'alignment', calls: ['steering-angle'], billed: false },
    ],
  })
  const calibrations = [
    { sensor: 'front-radar', method: 'dynamic' },
    { sensor: 'front-camera', method: 'static' },
    { sensor: 'steering-angle', method: 'initialisation' },
  ] as const
  return makePacket([estimate], { declaration: { calibrations: [...calibrations] } })
}

describe.each(exampleNames)('the plan of %s', (name) => {
  test('fits its schema, and numbers its tasks in the order of the work', () => {
    const plan = planOf(example(name))
    expect(listErrors(validatePlan, plan)).toEqual([])
    expect(tasksOf(plan).map(({ number }) => number)).toEqual(tasksOf(plan).map((_, at) => at + 1))
    expect(tasksOf(plan).length).toBeGreaterThan(10)
  })

  test('covers every calibration that the packet requires or records', () => {
    const packet = example(name)
    const { calibrations } = planOf(packet)
    for (const { sensor, position, method, label } of collectRequired(packet)) {
      const covers = calibrations.some(
        (one) =>
          one.sensor === sensor &&
          agreesInPosition(one.position, position) &&
          (method === null || one.method === null || one.method === method),
      )
      expect(covers, label).toBe(true)
    }
  })
})

describe('following the plan', () => {
  const rank: Record<Finding['verdict'], number> = { pass: 0, 'not-checked': 1, warn: 2, fail: 3 }
  const worst = (packet: Packet): Map<string, number> => {
    const verdicts = new Map<string, number>()
    for (const { check, verdict } of judge(packet, checks, general).findings)
      verdicts.set(check, Math.max(verdicts.get(check) ?? 0, rank[verdict]))
    return verdicts
  }

  test('gives a packet in which nothing is missing, and leaving out what it asks for does not', () => {
    const whole = example('bumper-and-radar')
    const before = keepFiles(whole, (kind) => kind === 'estimate')
    // The plan is made when nothing but the estimate and packet.yaml are there.
    const asked = served(planOf(before))
    const complete = worst(whole)
    expect([...complete].filter(([, verdict]) => verdict >= rank.warn)).toEqual([])
    const noticed = new Set<string>()
    for (const { file } of whole.documents) {
      for (const [check, verdict] of worst(keepFiles(whole, (_, other) => other !== file))) {
        if (verdict <= (complete.get(check) ?? 0)) continue
        noticed.add(check)
        expect(
          asked.has(check) || Object.hasOwn(servedBy, check) || onlyForSome.has(check),
          `${check} without ${file}`,
        ).toBe(true)
      }
    }
    expect([...noticed]).toEqual(
      expect.arrayContaining(['pre-scan-present', 'post-scan-present', 'calibration-recorded', 'drive-recorded']),
    )
  })
})

describe('a job', () => {
  const labels = (plan: Plan): string[] => plan.calibrations.map(({ label, need }) => `${need}: ${label}`)
  const listed = (text: string, kind: 'repair' | 'calibration', calls: (typeof sensors)[number][]) => ({
    text,
    kind,
    calls,
    billed: false,
  })

  test('of a declared repair calls for what the repair usually calls for, to be decided first', () => {
    const plan = planOf(makePacket([], { declaration: { repairs: [{ what: 'Windshield replaced' }] } }))
    expect(labels(plan)).toEqual(['usual: calibration of the front camera'])
    expect(plan.decisions.map(({ about }) => about)).toEqual(['calibration of the front camera'])
    const whens = new Set(
      tasksOf(plan)
        .filter(({ subject }) => subject?.includes('camera'))
        .map(({ when }) => when),
    )
    expect([...whens].sort()).toEqual([
      'it is needed',
      'it is needed and it is done in the bay',
      'it is needed and it is done on the road',
    ])
  })

  test('does not ask for what packet.yaml declares as not needed', () => {
    const notNeeded = [{ sensor: 'front-camera' as const, because: 'no camera is fitted' }]
    const repairs = [{ what: 'Windshield replaced' }]
    const plan = planOf(makePacket([], { declaration: { repairs, notNeeded } }))
    expect(plan).toMatchObject({ calibrations: [], notNeeded, decisions: [] })
    expect(tasksOf(plan).every(({ subject }) => !subject?.includes('camera'))).toBe(true)
  })

  test('lists a calibration by both methods as two, and both sides as two', () => {
    const operations = [
      listed('Front camera calibration, static and dynamic', 'calibration', ['front-camera']),
      listed('Corner radar calibration left and right', 'calibration', ['corner-radar']),
    ]
    const plan = planOf(makePacket([makeDocument('estimate', 'e.pdf', { operations })]))
    expect(labels(plan)).toEqual([
      'listed: static calibration of the front camera',
      'listed: dynamic calibration of the front camera',
      'listed: calibration of the left corner radar',
      'listed: calibration of the right corner radar',
    ])
    // Nothing says how the corner radars are calibrated.
    expect(plan.decisions).toHaveLength(2)
  })

  test('takes the method from the record where the estimate names none', () => {
    const operations = [listed('Front radar calibration', 'calibration', ['front-radar'])]
    const record = makeDocument('calibration', 'r.pdf', {
      calibrations: [{ sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed' }],
    })
    const plan = planOf(makePacket([makeDocument('estimate', 'e.pdf', { operations }), record]))
    expect(labels(plan)).toEqual(['listed: dynamic calibration of the front radar'])
    expect(plan.decisions).toEqual([])
  })

  test('without any calibration asks for what every job needs', () => {
    const plan = planOf(makePacket([]))
    expect(plan.calibrations).toEqual([])
    expect(tasksOf(plan).length).toBeGreaterThan(5)
    expect(tasksOf(plan).every(({ per }) => per === 'job')).toBe(true)
  })

  test('is planned without the checks that the rulebook leaves out', () => {
    const rule = general.rules['pre-scan-present']
    if (rule === undefined) throw new Error('no rule for pre-scan-present')
    const rules = { ...general.rules, 'pre-scan-present': { ...rule, off: 'not asked for here' } }
    const plan = makePlan(makePacket([]), checks, { ...general, rules }, vocabulary)
    expect(served(plan).has('pre-scan-present')).toBe(false)
    expect(served(plan).has('post-scan-present')).toBe(true)
  })

  test('goes by the values of the vehicle that the rulebook names', () => {
    const declaration = { calibrations: [{ sensor: 'front-radar' as const, method: 'dynamic' as const }] }
    const entry = { basis: 'Orvane manual 7-2', for: { make: 'Orvane' }, values: { speedKmh: [70, 90] as const } }
    const rulebook = { ...general, procedures: [...general.procedures, entry] }
    const speedOf = (make: string) => {
      const packet = makePacket([], { declaration, vehicle: { vin: null, make } })
      const { steps } = makePlan(packet, checks, rulebook, vocabulary)
      return steps.flatMap(({ values }) => values).find(({ label }) => label === 'Speed')
    }
    // 1 mile is 1.609344 km exactly: 70 km/h are 43.5 mph, 90 km/h are 55.9.
    expect(speedOf('Orvane')).toMatchObject({ text: '70 to 90 km/h (43 to 56 mph)', source: 'Orvane manual 7-2' })
    expect(speedOf('Kestova')).toMatchObject({ text: '64 to 120 km/h (40 to 75 mph)' })
  })
})

describe('every plan', () => {
  const calibration = fc.record(
    {
      sensor: fc.constantFrom(...sensors),
      method: fc.constantFrom('static' as const, 'dynamic' as const, 'initialisation' as const, 'unknown' as const),
      position: fc.constantFrom('left', 'right', 'front left'),
    },
    { requiredKeys: ['sensor'] },
  )
  const repair = fc.record({
    what: fc.oneof(
      fc.constantFrom('Windshield replaced', 'Front bumper and front radar replaced', 'Tie rod', 'Wheel alignment'),
      fc.string({ minLength: 1, maxLength: 30 }),
      fc.constantFrom('{subject}', '$&', '__proto__'),
    ),
  })
  const declaration = fc.record(
    {
      calibrations: fc.array(calibration, { maxLength: 6 }),
      repairs: fc.array(repair, { maxLength: 4 }),
      notNeeded: fc.array(fc.record({ sensor: fc.constantFrom(...sensors), because: fc.constant('not fitted') }), {
        maxLength: 3,
      }),
    },
    { requiredKeys: [] },
  )

  test('names checks that there are, and subjects that the job has', () => {
    const known = new Set(checks.map(({ id }) => id))
    fc.assert(
      fc.property(declaration, (declared) => {
        const plan = planOf(makePacket([], { declaration: declared }))
        expect(listErrors(validatePlan, plan)).toEqual([])
        const calibrations = new Set(plan.calibrations.map(({ label }) => `the ${label}`))
        const repairs = (declared.repairs ?? []).map(({ what }) => what)
        for (const { serves, subject, per, text } of tasksOf(plan)) {
          expect(serves.every(({ check }) => known.has(check))).toBe(true)
          if (per === 'job') expect(subject).toBeNull()
          else if (per === 'repair') expect(repairs).toContain(subject)
          else if (!['alignment', 'replaced-sensor'].includes(per)) expect(calibrations).toContain(subject)
          if (subject !== null && text.toLowerCase().includes('calibration of the'))
            expect(text.toLowerCase()).toContain(subject.toLowerCase())
        }
        for (const { sensor } of declared.calibrations ?? [])
          expect(plan.calibrations.some((one) => one.sensor === sensor && one.need === 'declared')).toBe(true)
      }),
    )
  })

  test('asks for nothing twice', () => {
    fc.assert(
      fc.property(declaration, (declared) => {
        const texts = tasksOf(planOf(makePacket([], { declaration: declared }))).map(
          ({ text, when }) => `${text} ${when}`,
        )
        expect(new Set(texts).size).toBe(texts.length)
      }),
    )
  })
})
