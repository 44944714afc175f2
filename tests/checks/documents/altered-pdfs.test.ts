/**
 * PDFs that other people's programs altered or saved again (tests/vectors/pdf-history), from their bytes to the report:
 * what is found, and what is said of files that nobody altered.
 */
import { readdirSync } from 'node:fs'
import { beforeAll, describe, expect, test, vi } from 'vitest'
import { loadRulebook, loadVocabulary } from '../../../cli/shipped-data.ts'
import type { Finding } from '../../../src/findings/report.ts'
import { fileSystem } from '../../../src/io/files.ts'
import { readPdf } from '../../../src/reading/pdf.ts'
import { checkPacket } from '../../../src/review.ts'
import { listErrors, validateReport } from '../../findings/schemas.ts'

vi.setConfig({ testTimeout: 60_000, hookTimeout: 240_000 })

const folder = 'tests/vectors/pdf-history'
/** Those that look at a file for itself. */
const lookers: ReadonlySet<string> = new Set([
  'pdf-not-edited',
  'pdf-signature-holds',
  'text-matches-picture',
  'no-active-content',
])

/** Written anew as a whole, with the words of the page itself changed: nothing in the file alone tells of it. */
const leftNoTrace = ['lib-qdf-then-linearised.pdf', 'lib-qdf-then-written.pdf', 'lib-words-rewritten.pdf']

async function review(path: string): Promise<Finding[]> {
  const [rulebook, vocabulary] = await Promise.all([loadRulebook(), loadVocabulary(undefined)])
  const outside = { storage: fileSystem, read: readPdf }
  const report = await checkPacket(path, outside, { rulebook, vocabulary, reviewed: '2026-12-01' })
  expect(listErrors(validateReport, report), path).toEqual([])
  return report.findings.filter(({ check }) => lookers.has(check))
}

const alarms = (findings: readonly Finding[]) =>
  findings.filter(({ verdict }) => verdict === 'fail' || verdict === 'warn')

const found = new Map<string, Finding[]>()
beforeAll(async () => {
  for (const set of ['altered', 'unaltered'])
    for (const file of readdirSync(`${folder}/${set}`).sort())
      found.set(`${set}/${file}`, await review(`${folder}/${set}/${file}`))
})

const of = (set: string) => [...found].filter(([path]) => path.startsWith(`${set}/`))
const withoutSet = (path: string) => path.slice(path.indexOf('/') + 1)

test('all alterations are found but those that leave no trace', () => {
  const altered = of('altered')
  const missed = altered.filter(([, findings]) => alarms(findings).length === 0).map(([path]) => withoutSet(path))
  console.log(
    `${altered.length - missed.length} of ${altered.length} altered files found; missed: ${missed.join(', ')}`,
  )
  expect(altered.length).toBeGreaterThanOrEqual(30)
  expect(missed).toEqual(leftNoTrace)
})

test('no file that nobody altered raises an alarm', () => {
  const unaltered = of('unaltered')
  const raised = unaltered.flatMap(([path, findings]) => alarms(findings).map(({ reason }) => `${path}: ${reason}`))
  console.log(`${raised.length} false alarms on ${unaltered.length} unaltered files`)
  expect(unaltered.length).toBeGreaterThanOrEqual(30)
  expect(raised).toEqual([])
})

describe('what is said', () => {
  const edited = (file: string) => found.get(`altered/${file}`)?.filter(({ check }) => check === 'pdf-not-edited') ?? []

  test.each([
    ['lib-words-update.pdf', 'Result Failed', 'Result Passed'],
    ['lib-vin-update.pdf', 'VIN 1ZZTE5T11NB000421', 'VIN 1ZZTE5T16NB000432'],
    ['lib-object-streams-words-update.pdf', 'Result Failed', 'Result Passed'],
    ['lib-linearised-words-update.pdf', 'Result Failed', 'Result Passed'],
    ['lib-encrypted-words-update.pdf', 'Result Failed', 'Result Passed'],
    ['lib-words-then-title-update.pdf', 'Result Failed', 'Result Passed'],
  ])('%s: both readings, with their places', (file, before, after) => {
    const [finding, ...others] = edited(file)
    expect(others).toEqual([])
    expect(finding).toMatchObject({
      verdict: 'fail',
      message: 'changed',
      data: { before: `“${before}”`, after: `“${after}”` },
    })
    const [contrast] = finding?.contrasts ?? []
    expect(contrast).toMatchObject({ one: { text: before, page: 1 }, other: { text: after, page: 1 } })
    expect(contrast?.one.end).toBeGreaterThan(0)
  })

  test('words under a filled mark that came later', () => {
    for (const paper of ['lib', 'browser'])
      for (const mark of ['square', 'freetext'])
        expect(edited(`${paper}-${mark}-update.pdf`), `${paper} ${mark}`).toMatchObject([{ message: 'covered' }])
  })

  test('a field filled in is no change of what was there', () => {
    const told = found.get('unaltered/form-filled-update.pdf')?.find(({ check }) => check === 'pdf-not-edited')
    expect(told).toMatchObject({ verdict: 'pass', message: 'added-to' })
    expect(told?.reason).toContain('the field remark was filled in')
  })
})
