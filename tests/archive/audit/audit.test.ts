/** Figures over an archive of invented shops. */
import { describe, expect, test, vi } from 'vitest'
import { type Archive, act, putObject } from '../../../src/archive/archive.ts'
import { auditPackets } from '../../../src/archive/audit/audit.ts'
import type { NewEntry } from '../../../src/archive/entry.ts'
import { formatManifest } from '../../../src/archive/manifest.ts'
import { renderAuditPage } from '../../../src/report/audit-page.ts'
import { renderAudit } from '../../../src/report/audit-text.ts'
import { clerk, makeArchive } from '../made-archive.ts'

// Hundreds of durable writes.
vi.setConfig({ testTimeout: 60_000 })

interface Job {
  shop: string
  verdict: 'pass' | 'warn' | 'fail'
  sensor?: string
  seconds?: number
  follows?: string
}

/** Receives and checks jobs, in one act. */
async function fill(archive: Archive, jobs: readonly Job[], first = 1): Promise<void> {
  const { storage } = archive.outside
  const manifest = await putObject(
    storage,
    formatManifest({ manifest: 1, name: 'x', digest: 'x', files: [], left: [] }),
  )
  const entries: NewEntry[] = []
  for (const [at, { shop, verdict, sensor = 'front-radar', seconds = 600 + at, follows }] of jobs.entries()) {
    const accession = `2026-${String(first + at).padStart(4, '0')}`
    const finding = { check: 'no-faults-left', verdict, message: 'left' }
    const calibration = { sensor, method: 'dynamic', outcome: 'completed' }
    const record = {
      kind: 'calibration',
      calibrations: [calibration],
      technician: 'Kit Rowe',
      instrument: { serial: 'RF-4' },
    }
    const drive = { kind: 'drive-log', drive: { durationSeconds: seconds } }
    const report = { vehicle: { vin: null }, documents: [record, drive], findings: [finding] }
    entries.push(
      {
        act: 'received',
        accession,
        packet: {
          name: `job ${at}`,
          form: 'folder',
          digest: `sha256:${accession.replace('-', '').padStart(64, '0')}`,
          bag: false,
        },
        manifest,
        files: 0,
        bytes: 0,
        shop,
        ...(follows === undefined ? {} : { follows }),
      },
      {
        act: 'checked',
        accession,
        report: await putObject(storage, Buffer.from(JSON.stringify(report))),
        rulebook: { name: 'general', version: '1.0.0', sha256: '0'.repeat(64) },
        reviewed: '2026-03-15',
        verdict,
        program: '0.1.0',
      },
    )
  }
  await act(archive, clerk, async () => ({ entries, result: undefined }))
}

/** So many jobs of a shop, of which so many fail. */
const jobsOf = (shop: string, count: number, fails: number, sensor?: string): Job[] =>
  Array.from({ length: count }, (_, at) => ({
    shop,
    verdict: at < fails ? 'fail' : 'pass',
    ...(sensor === undefined ? {} : { sensor }),
  }))

describe('an audit', () => {
  test('tells which shops fail more than their work lets expect, and ranks none with few jobs', async () => {
    const { archive } = await makeArchive()
    await fill(archive, [
      ...jobsOf('Bay North', 100, 10),
      ...jobsOf('Bay South', 100, 12),
      ...jobsOf('Bay West', 60, 25),
      ...jobsOf('Bay East', 19, 19),
    ])
    const audit = await auditPackets(archive.db, 'shop')
    expect(audit).toMatchObject({ jobs: 279, fails: 66, unnamed: 0 })
    expect(audit.groups.map(({ name, standing }) => [name, standing])).toEqual([
      ['bay east', 'too-few'],
      ['bay north', 'fewer-than-expected'],
      ['bay south', 'fewer-than-expected'],
      ['bay west', 'more-than-expected'],
    ])
    expect(audit.groups[0]?.probability).toBeNull()
    expect(renderAudit(audit, { width: 100, color: false })).toContain('fewer than 20 jobs: counted, not compared')
  })

  test('allows for the kind of work: what fails often everywhere is nobody’s', async () => {
    const { archive } = await makeArchive()
    await fill(archive, [
      ...jobsOf('Bay North', 80, 8),
      ...jobsOf('Bay South', 80, 8),
      ...jobsOf('Glass House', 60, 30, 'front-camera'),
      ...jobsOf('Screen Works', 60, 30, 'front-camera'),
    ])
    const { groups } = await auditPackets(archive.db, 'shop')
    expect(new Set(groups.map(({ standing }) => standing))).toEqual(new Set(['as-expected']))
    expect(groups.map(({ expected }) => Number(expected.toFixed(6)))).toEqual([0.1, 0.1, 0.5, 0.5])
  })

  test('counts a job that was submitted again once, by its last submission', async () => {
    const { archive } = await makeArchive()
    await fill(archive, [{ shop: 'Bay North', verdict: 'fail' }])
    await fill(archive, [{ shop: 'Bay North', verdict: 'pass', follows: '2026-0001' }], 2)
    expect(await auditPackets(archive.db, 'shop')).toMatchObject({ jobs: 1, fails: 0 })
  })

  test('tells of drives that last alike to the second', async () => {
    const { archive } = await makeArchive()
    const seconds = [600, 600, 720, 840]
    await fill(
      archive,
      seconds.map((own) => ({ shop: 'Bay North', verdict: 'pass', seconds: own })),
    )
    const [group] = (await auditPackets(archive.db, 'instrument')).groups
    expect(group).toMatchObject({ name: 'RF4', drives: { count: 4, quartiles: [600, 660, 750], alike: 2 } })
  })

  test('of an empty archive, and of names that are not read', async () => {
    const { archive } = await makeArchive()
    expect(await auditPackets(archive.db, 'shop')).toMatchObject({ jobs: 0, rate: 0, groups: [] })
    expect(renderAuditPage(await auditPackets(archive.db, 'shop'))).toContain('No job has a report.')
  })

  test('makes a page that escapes what names hold', async () => {
    const { archive } = await makeArchive()
    await fill(archive, [...jobsOf('<script>alert(1)</script>', 40, 20), ...jobsOf('Bay South', 80, 4)])
    const page = renderAuditPage(await auditPackets(archive.db, 'shop'))
    expect(page).not.toContain('<script>')
    expect(page).toContain('&lt;script&gt;')
    expect(page.match(/<circle/g)).toHaveLength(2)
  })
})
