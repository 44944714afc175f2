/** The committed examples are what examples/make.ts makes, and each shows what it is there to show. */
import { mkdtemp, readdir, readFile, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { makePackets } from '../../examples/make.ts'
import { completeVin, vehicles } from '../../examples/shop.ts'
import { checkPacket, checks, compileVocabulary, parseRulebook, parseVocabularyPage } from '../../src/index.ts'
import { fileSystem } from '../../src/io/files.ts'
import { type ReadingPool, startReading } from '../../src/io/reading-process.ts'
import { readShippedRulebook, readShippedVocabulary } from '../../src/io/shipped.ts'

const committed = fileURLToPath(new URL('../../examples/packets', import.meta.url))

/** Milliseconds: drawing and reading forty files takes seconds, and longer beside other work. */
const patience = 120_000

/** Checks that must fail, and no others may. */
const shown: Record<string, { verdict: string; fails: string[] }> = {
  'bumper-and-radar': { verdict: 'pass', fails: [] },
  'windshield-camera': {
    verdict: 'fail',
    // The S that stands for a 5 also breaks the check digit of 49 CFR 565.15(c).
    fails: ['billed-is-evidenced', 'post-scan-follows-calibration', 'vin-agrees', 'vin-well-formed'],
  },
  'windshield-camera-again': { verdict: 'pass', fails: [] },
  'suspension-and-angle': {
    verdict: 'fail',
    // The code that is left is of failure type 78, and was not there before the work.
    fails: [
      'alignment-precedes-calibration',
      'no-calibration-faults-left',
      'no-faults-left',
      'no-new-faults',
      'odometer-runs-forward',
    ],
  },
  'quick-drive': {
    verdict: 'fail',
    fails: ['calibration-completed', 'calibration-follows-repair', 'calibration-reached-full', 'pre-scan-present'],
  },
}

async function listFiles(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true })
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
    .sort()
}

describe('examples/make.ts', () => {
  let folder = ''
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'examples-'))
    await makePackets(folder)
  }, patience)
  afterAll(() => rm(folder, { recursive: true, force: true }))

  it('makes the committed files again, byte for byte', async () => {
    const files = await listFiles(committed)
    expect(await listFiles(folder)).toEqual(files)
    expect(files.length).toBeGreaterThan(30)
    for (const file of files) {
      const [made, kept] = await Promise.all([readFile(join(folder, file)), readFile(join(committed, file))])
      expect(made.equals(kept), file).toBe(true)
    }
  })

  it('stays under 1.5 MB', async () => {
    const sizes = await Promise.all(
      (await listFiles(committed)).map(async (file) => (await readFile(join(committed, file))).length),
    )
    expect(sizes.reduce((total, size) => total + size, 0)).toBeLessThan(1_500_000)
  })

  it("gives the check digit of the regulation's own sample", () => {
    // 49 CFR 565.15(c), sample: 1G4AH59H_5G118341 has the check digit 4.
    expect(completeVin('1G4AH59H05G118341')).toBe('1G4AH59H45G118341')
    for (const { vin } of Object.values(vehicles)) expect(completeVin(vin)).toBe(vin)
  })
})

describe('the review of', () => {
  let pool: ReadingPool
  beforeAll(() => {
    pool = startReading()
  })
  afterAll(() => pool.close())

  it.each(Object.entries(shown))(
    '%s shows what it is there to show',
    async (name, { verdict, fails }) => {
      const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
      const { rulebook } = parseRulebook(await readShippedRulebook(), checks)
      if (!rulebook) throw new Error('the general rulebook has faults')
      const outside = { storage: fileSystem, read: pool.read }
      const report = await checkPacket(join(committed, name), outside, { vocabulary, rulebook, reviewed: '2026-11-25' })
      const failed = report.findings.filter((finding) => finding.verdict === 'fail').map(({ check }) => check)
      expect([...new Set(failed)].sort()).toEqual(fails)
      expect(report.verdict).toBe(verdict)
    },
    patience,
  )
})
