/**
 * The whole review on packets of invented shops whose truth is known. Set a is what the reading was developed on, b measured
 * how general it is, c, d and e were made by others to other layouts, f holds papers in one language each.
 *
 * The numbers are floors under what was reached, so that a change that reads one layout better and three worse is seen.
 */
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { loadRulebook, loadVocabulary } from '../../cli/shipped-data.ts'
import { checks } from '../../src/checks/index.ts'
import type { Report } from '../../src/findings/report.ts'
import { fileSystem } from '../../src/io/files.ts'
import { type ReadingPool, startReading } from '../../src/io/reading-process.ts'
import { checkPacket } from '../../src/review.ts'
import { listErrors, validateReport } from '../findings/schemas.ts'
import { falseAlarms, type Graded, gradeDocument, hasText, missedFinding } from './compare.ts'
import { type PacketFolder, packetsOf } from './truth.ts'

const LEAST_RIGHT = 0.98
const MOST_WRONG = 0.002
const REVIEWED = '2026-11-25'
const sets = ['a', 'b', 'c', 'd', 'e', 'f'] as const
const written = new Set<string>(checks.map(({ id }) => id))

const packets = sets.flatMap((set) => packetsOf(set).map((packet) => ({ set, ...packet })))
const reports = new Map<string, Report>()
let pool: ReadingPool

beforeAll(async () => {
  pool = startReading()
  const [rulebook, vocabulary] = await Promise.all([loadRulebook(), loadVocabulary(undefined)])
  const outside = { storage: fileSystem, read: pool.read }
  for (const { name, files } of packets)
    reports.set(name, await checkPacket(files, outside, { vocabulary, rulebook, reviewed: REVIEWED }))
}, 900_000)

afterAll(() => pool.close())

function reportOf(name: string): Report {
  const report = reports.get(name)
  if (!report) throw new Error(`${name} gave no report`)
  return report
}

function gradePacket({ name, truth }: PacketFolder): (Graded & { where: string })[] {
  const documents = new Map(reportOf(name).documents.map((document) => [document.file, document]))
  return Object.entries(truth.documents).flatMap(([path, want]) => {
    const got = documents.get(path)
    return hasText(path, want, got) ? gradeDocument(want, got).map((one) => ({ ...one, where: `${name}/${path}` })) : []
  })
}

const tell = (one: Graded & { where: string }) =>
  `${one.grade}: ${one.where} ${one.fact}: want ${JSON.stringify(one.want)}, have ${JSON.stringify(one.have)}`

describe.each(sets)('set %s', (set) => {
  const mine = packets.filter((packet) => packet.set === set)

  test('its facts are read, and hardly one of them wrongly', () => {
    const graded = mine.flatMap(gradePacket)
    const count = (grade: Graded['grade']) => graded.filter((one) => one.grade === grade).length
    const figures = `${count('right')} right, ${count('missing')} missing, ${count('wrong')} wrong of ${graded.length}`
    const faults = graded.filter(({ grade }) => grade !== 'right').map(tell)
    const message = [figures, ...faults].join('\n')
    expect(graded.length, message).toBeGreaterThan(300)
    expect(count('right') / graded.length, message).toBeGreaterThanOrEqual(LEAST_RIGHT)
    expect(count('wrong') / graded.length, message).toBeLessThanOrEqual(MOST_WRONG)
  })

  test('no vehicle identification number is read wrongly', () => {
    const vins = mine.flatMap(gradePacket).filter(({ fact }) => fact === 'vin')
    expect(vins.length).toBeGreaterThan(10)
    expect(vins.filter(({ grade }) => grade === 'wrong').map(tell)).toEqual([])
  })
})

describe.each(packets)('packet $name', (packet) => {
  test('gives a report of the shape of the schema, with every document in it', () => {
    const report = reportOf(packet.name)
    expect(listErrors(validateReport, report)).toEqual([])
    const read = report.documents.map(({ file }) => file)
    expect(Object.keys(packet.truth.documents).filter((path) => !read.includes(path))).toEqual([])
  })

  test('raises no alarm that is not one', () => {
    expect(falseAlarms(packet.truth, reportOf(packet.name).findings)).toEqual([])
  })
})

/** What was planted and has a check here; a clean packet has none. */
const planted = packets.flatMap(({ name, truth }) =>
  truth.expected.filter(({ check }) => written.has(check)).map((want) => ({ name, want, check: want.check })),
)

describe('what was planted', () => {
  test('is known to the checks in most cases', () => {
    expect(planted.length).toBeGreaterThanOrEqual(40)
  })

  test.each(planted)('$name: $check is found in the file it was planted in', ({ name, want }) => {
    expect(missedFinding(want, reportOf(name).findings)).toBeNull()
  })
})
