/** An export that cannot be finished after the log says that it was handed over. */
import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { act, history } from '../../src/archive/archive.ts'
import { type ExportSource, noteFailedExport, writeExport } from '../../src/archive/export/export.ts'
import { findForExport, mostPackets } from '../../src/archive/export/packets.ts'
import { describeAct } from '../../src/report/archive-text.ts'
import type { BagSink } from '../../src/seal/bag/write.ts'
import { clerk, makeArchive, receiveTexts } from './made-archive.ts'

/** A sink in memory that fails at one path. */
function sinkFailingAt(failing: string | null): { sink: BagSink; paths: string[] } {
  const paths: string[] = []
  const put: BagSink['put'] = async (path, content) => {
    if (path === failing) throw Object.assign(new Error('No room'), { code: 'ENOSPC' })
    const pieces: Uint8Array[] = []
    for await (const piece of content instanceof Uint8Array ? [content] : content) pieces.push(Uint8Array.from(piece))
    const bytes = Buffer.concat(pieces)
    const [sha256, sha512] = ['sha256', 'sha512'].map((name) => createHash(name).update(bytes).digest('hex'))
    paths.push(path)
    return { path, bytes: bytes.length, sha256: sha256 ?? '', sha512: sha512 ?? '' }
  }
  return { sink: { put }, paths }
}

async function attempt(failing: string | null) {
  const { archive } = await makeArchive()
  const { accession } = await receiveTexts(archive, 'one', { 'a.txt': 'A', 'b/c.txt': 'C' })
  const [packet] = await findForExport(archive, [accession])
  if (packet === undefined) throw new Error('No packet')
  const logged: number[] = []
  const source: ExportSource = {
    to: 'Counsel',
    agent: 'test',
    packets: [{ packet, name: packet.name, files: packet.contents, reports: [], left: [] }],
    loadFile: () => Buffer.from(''),
    seal: null,
    redaction: null,
    logged: (index) => void logged.push(index),
  }
  const { sink, paths } = sinkFailingAt(failing)
  const outcome = await writeExport(archive, clerk, sink, source).catch((error: Error) => error.message)
  const acts = async () => (await Array.fromAsync(history(archive))).map(({ entry }) => entry)
  return { archive, accession, logged, paths, outcome, acts }
}

describe('an export', () => {
  test('is logged after its payload and before its proofs', async () => {
    const { outcome, logged, paths, acts } = await attempt(null)
    expect(outcome).toMatchObject({ index: 2, left: 0, unstamped: null })
    expect(logged).toEqual([2])
    expect(paths.indexOf('data/load-file.csv')).toBeLessThan(paths.indexOf('custody/entry-000002.json'))
    expect((await acts()).map(({ act }) => act)).toEqual(['begun', 'received', 'exported'])
  })

  test.each(['data/packets/2026-0001/data/a.txt', 'manifest-sha512.txt'])(
    'that fails at %s is not logged',
    async (path) => {
      const { outcome, logged, acts } = await attempt(path)
      expect(outcome).toBe('No room')
      expect(logged).toEqual([])
      expect((await acts()).map(({ act }) => act)).toEqual(['begun', 'received'])
    },
  )

  test('that fails after it was logged is noted as failed', async () => {
    const { archive, accession, outcome, logged, acts } = await attempt('README.txt')
    expect(outcome).toBe('No room')
    await noteFailedExport(archive, clerk, logged[0] ?? -1, [accession])
    const last = (await acts()).at(-1)
    expect(last).toMatchObject({ act: 'export-failed', export: 2, accessions: [accession] })
    expect(last === undefined ? '' : describeAct(last)).toBe('could not finish what entry 2 says was handed over')
  })

  test('has packets that the archive has, and no more than an entry can name', async () => {
    const { archive } = await makeArchive()
    await expect(findForExport(archive, ['2026-0007'])).rejects.toMatchObject({ code: 'unknown' })
    const many = Array.from({ length: mostPackets + 1 }, (_, at) => `2026-${String(at).padStart(4, '0')}`)
    await expect(findForExport(archive, many)).rejects.toMatchObject({ code: 'too-many' })
    // As many as are let through fit into an entry, be their numbers of five digits.
    const accessions = many.slice(1).map((one) => `${one}9`)
    const entry = { act: 'exported', accessions, to: 'x', manifest: 'a'.repeat(64), redacted: false } as const
    await expect(act(archive, clerk, async () => ({ entries: [entry], result: 1 }))).resolves.toBe(1)
  })
})
