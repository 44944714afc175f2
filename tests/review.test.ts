/** The whole review on packets whose files are not all there or cannot be taken. Invented data. */
import { createHash } from 'node:crypto'
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { loadRulebook, loadVocabulary } from '../cli/shipped-data.ts'
import { illegible } from '../src/facts/illegible.ts'
import type { Report } from '../src/findings/report.ts'
import { fileSystem } from '../src/io/files.ts'
import { type ReadingPool, startReading } from '../src/io/reading-process.ts'
import { checkPacket, readPacket } from '../src/review.ts'
import { listErrors, validateReport } from './findings/schemas.ts'
import { typed } from './reading/page-builder.ts'

const postScan = `POST-REPAIR SCAN
VIN: 4W9HX7B21NK204816
Scan date: 2026-03-12 14:05 -06:00
Modules read: 2   Codes found: 0
Engine control        OK
Front radar           OK
`

let folder: string
let pool: ReadingPool

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-review-'))
  pool = startReading()
})

afterAll(async () => {
  await pool.close()
  rmSync(folder, { recursive: true })
})

async function review(name: string, fill: (packet: string) => void): Promise<Report> {
  const packet = join(folder, name)
  mkdirSync(packet)
  writeFileSync(join(packet, 'post.txt'), postScan)
  fill(packet)
  const [rulebook, vocabulary] = await Promise.all([loadRulebook(), loadVocabulary(undefined)])
  return checkPacket(packet, { storage: fileSystem, read: pool.read }, { vocabulary, rulebook, reviewed: '2026-03-20' })
}

const verdictsOf = (report: Report, check: string) =>
  report.findings.filter((finding) => finding.check === check).map(({ verdict }) => verdict)

describe('a code that a picture shows doubtfully', () => {
  const preScan = `PRE-REPAIR SCAN
VIN: 4W9HX7B21NK204816
Scan date: 2026-03-10 09:05 -06:00
Module            Code         Description            Status
Front camera      C1825-54     Missing calibration    Active
`
  /** A scan as a reader of pictures gives it, which could not tell an 8 from a B. */
  const seen = () => {
    const page = typed([
      'POST-REPAIR SCAN',
      'Module            Code         Description            Status',
      'Front camera      C1B25-54     Missing calibration    Active',
    ])
    const words = page.words.map((word) => ({
      ...word,
      ...(word.text === 'C1B25-54' ? { text: illegible, readAs: word.text, confidence: 50 } : { confidence: 95 }),
    }))
    return { media: 'image/png', pages: [{ ...page, words }], problems: [{ code: 'read-from-picture', message: 'x' }] }
  }

  const codesIn = async (name: string, before: string) => {
    const packet = join(folder, name)
    mkdirSync(packet)
    writeFileSync(join(packet, 'before.txt'), before)
    // The signature of PNG (W3C, Portable Network Graphics, 5.2): what follows is not looked at here.
    writeFileSync(join(packet, 'after.png'), Uint8Array.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]))
    const vocabulary = await loadVocabulary(undefined)
    const read: typeof pool.read = async (bytes, hint) => (hint.path === 'after.png' ? seen() : pool.read(bytes, hint))
    const { documents } = await readPacket(
      packet,
      { storage: fileSystem, read },
      { vocabulary, reviewed: '2026-03-20' },
    )
    const after = documents.find(({ file }) => file === 'after.png')
    return [after?.codes?.map(({ code }) => code), after?.problems.map(({ code }) => code)]
  }

  test('is the one that another file lists, and is left out where none does', async () => {
    expect(await codesIn('code-listed', preScan)).toEqual([['C1825'], ['read-from-picture', 'look-alikes-chosen']])
    const other = preScan.replace('C1825-54', 'U0155-87')
    expect(await codesIn('code-not-listed', other)).toEqual([[], ['read-from-picture', 'unread-code']])
  }, 60_000)
})

describe('a file that packet.yaml names', () => {
  test('is missed when the packet does not hold it, and never counts as present', async () => {
    const report = await review('missing', (packet) => {
      writeFileSync(join(packet, 'packet.yaml'), 'packet: 1\nfiles:\n  pre.txt: { kind: pre-scan }\n')
    })
    expect(listErrors(validateReport, report)).toEqual([])
    const missing = report.documents.find(({ file }) => file === 'pre.txt')
    expect(missing?.problems.map(({ code }) => code)).toEqual(['missing'])
    expect(verdictsOf(report, 'files-readable')).toContain('fail')
    expect(verdictsOf(report, 'pre-scan-present')).not.toContain('pass')
    expect(report.verdict).toBe('fail')
  }, 60_000)

  test('is found by its base name in a folder of the packet', async () => {
    const report = await review('nested', (packet) => {
      mkdirSync(join(packet, 'scans'))
      writeFileSync(join(packet, 'scans', 'pre.txt'), postScan.replace('POST-REPAIR', 'PRE-REPAIR'))
      writeFileSync(join(packet, 'packet.yaml'), 'packet: 1\nfiles:\n  pre.txt: { kind: pre-scan }\n')
    })
    expect(report.documents.map(({ file }) => file)).toEqual(['post.txt', 'scans/pre.txt'])
    expect(verdictsOf(report, 'files-readable')).toEqual(['pass'])
  }, 60_000)
})

describe('a file that intake does not take', () => {
  test('stands in the report with its problem, in the shape that the schema states', async () => {
    const report = await review('link', (packet) => symlinkSync('/etc/hostname', join(packet, 'pre.txt')))
    expect(listErrors(validateReport, report)).toEqual([])
    expect(report.documents.find(({ file }) => file === 'pre.txt')?.problems).toHaveLength(1)
    expect(verdictsOf(report, 'files-readable')).not.toContain('pass')
    expect(report.verdict).not.toBe('pass')
  }, 60_000)
})

describe('a list of digests beside the files', () => {
  const digest = (text: string) => createHash('sha512').update(text).digest('hex')

  test('agrees with them', async () => {
    const report = await review('listed', (packet) => {
      const declaration = 'packet: 1\n'
      writeFileSync(join(packet, 'packet.yaml'), declaration)
      const lines = [`${digest(postScan)}  post.txt`, `${digest(declaration)}  packet.yaml`]
      // As another system's shell writes text.
      writeFileSync(join(packet, 'SHA512SUMS'), Buffer.from(`\ufeff${lines.join('\r\n')}\r\n`, 'utf16le'))
    })
    expect(verdictsOf(report, 'manifest-agrees')).toEqual(['pass'])
    expect(verdictsOf(report, 'seal-intact')).toEqual(['not-checked'])
  }, 60_000)

  test('tells that one is another', async () => {
    const report = await review('listed-otherwise', (packet) => {
      writeFileSync(join(packet, 'SHA512SUMS'), `${digest(`${postScan}\n`)}  post.txt\n`)
    })
    expect(listErrors(validateReport, report)).toEqual([])
    expect(verdictsOf(report, 'manifest-agrees')).toEqual(['fail'])
  }, 60_000)
})
