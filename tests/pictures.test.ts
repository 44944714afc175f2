/** Pictures of a packet's pages, drawn in processes of their own. */
import { createHash } from 'node:crypto'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test, vi } from 'vitest'
import type { FilePlace } from '../src/facts/reading.ts'
import { defaultPictureLimits, isDrawing } from '../src/findings/pictures.ts'
import { type DrawingPool, startDrawing } from '../src/io/drawing-process.ts'
import { fileSystem } from '../src/io/files.ts'
import { drawEvidence } from '../src/pictures.ts'
import { makeFinding, makeFullReport } from './report/invented.ts'
import { root } from './source-file.ts'

vi.setConfig({ testTimeout: 120_000 })

const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-pictures-'))
const pools: DrawingPool[] = []
afterAll(async () => {
  await Promise.all(pools.map((pool) => pool.close()))
  rmSync(scratch, { recursive: true, force: true })
})

function start(...how: Parameters<typeof startDrawing>) {
  const pool = startDrawing(...how)
  pools.push(pool)
  return { storage: fileSystem, draw: pool.draw }
}

const packet = join(root, 'examples/packets/windshield-camera')
const [example] = makeFullReport().documents as [ReturnType<typeof makeFullReport>['documents'][number]]
const hash = (name: string) =>
  createHash('sha256')
    .update(readFileSync(join(packet, name)))
    .digest('hex')
const at = (file: string): FilePlace => ({ file, page: 1, box: [100, 100, 200, 120], text: 'words' })

async function reportOn(...files: string[]) {
  const documents = files.map((file) => ({
    ...example,
    file,
    sha256: hash(file),
    media: file.endsWith('.jpg') ? 'image/jpeg' : 'application/pdf',
  }))
  return makeFullReport({ documents, findings: files.map((file) => makeFinding({ evidence: [at(file)] })) })
}

describe('pictures of the evidence', () => {
  test('are drawn where native code is allowed and nothing else is', async () => {
    const { pictures, left } = await drawEvidence(packet, await reportOn('estimate.pdf', 'IMG_4471.jpg'), start())
    expect(left).toBe(0)
    expect(pictures.map(({ file, drawn }) => [file, isDrawing(drawn)])).toEqual([
      ['estimate.pdf', true],
      ['IMG_4471.jpg', true],
    ])
    // A JPEG begins with SOI: ISO/IEC 10918-1, B.2.1.
    for (const { drawn } of pictures) expect(isDrawing(drawn) && [...drawn.jpeg.subarray(0, 2)]).toEqual([0xff, 0xd8])
  })

  test('are the same bytes every time', async () => {
    const outside = start()
    const report = await reportOn('estimate.pdf', 'scan after.pdf')
    expect(await drawEvidence(packet, report, outside)).toEqual(await drawEvidence(packet, report, outside))
  })

  test('are not of a file that was changed after the review', async () => {
    const copy = join(scratch, 'changed')
    cpSync(packet, copy, { recursive: true })
    const report = await reportOn('estimate.pdf')
    writeFileSync(join(copy, 'estimate.pdf'), 'another')
    const { pictures } = await drawEvidence(copy, report, start())
    expect(pictures.map(({ drawn }) => drawn)).toEqual([{ fault: 'the file is not what was reviewed' }])
  })

  test('stay within the bytes that a report may take', async () => {
    const report = await reportOn('estimate.pdf', 'scan after.pdf')
    const { pictures, left } = await drawEvidence(packet, report, start(), { ...defaultPictureLimits, bytes: 30_000 })
    expect(pictures.length).toBe(1)
    expect(left).toBe(1)
  })

  test('that break their drawer are faults of their own', async () => {
    const worker = new URL('./io/misbehaving-worker.ts', import.meta.url)
    const { draw } = start({ processes: 1, milliseconds: 2000 }, worker)
    const asked = [{ page: 1, marks: [] }]
    const faultOf = async (what: string) => draw(new Uint8Array(1), { path: what, media: 'application/pdf' }, asked)
    expect(await faultOf('hang')).toEqual([{ fault: expect.stringMatching(/took more than 2 s/) }])
    expect(await faultOf('exit')).toEqual([{ fault: expect.stringMatching(/status 7/) }])
    expect(await faultOf('garbage')).toEqual([{ fault: expect.stringMatching(/something else/) }])
    expect(await faultOf('well')).toEqual([{ fault: expect.stringMatching(/something else/) }])
  })
})
