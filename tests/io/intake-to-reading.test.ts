import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import PDFDocument from 'pdfkit'
import { afterAll, beforeAll, expect, it, vi } from 'vitest'
import { openPacket } from '../../src/intake/open.ts'
import { fileSystem } from '../../src/io/files.ts'
import { startReading } from '../../src/io/reading-process.ts'

vi.setConfig({ testTimeout: 60_000 })

let folder = ''
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'witnessmark-'))
  writeFileSync(join(folder, 'drive.csv'), 'time,speed,note\n0,0,start\n1,4,moving\n')
  writeFileSync(join(folder, 'note.txt'), 'All modules answered\n')
  writeFileSync(join(folder, 'empty.pdf'), '')
  writeFileSync(join(folder, 'scan.pdf'), await makePdf('Front radar: no fault'))
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

async function makePdf(text: string): Promise<Uint8Array> {
  const document = new PDFDocument()
  document.text(text)
  document.end()
  return Buffer.concat(await document.toArray())
}

it('every file of a packet goes through a reading process, side by side, and comes back as words', async () => {
  const pool = startReading()
  try {
    const packet = await openPacket(fileSystem, folder)
    const readings = await Promise.all(packet.files.map(async (file) => pool.read(await file.read(), file)))
    const said = readings.map(({ media, pages, problems }, index) => ({
      path: packet.files[index]?.path,
      media,
      words: pages.flatMap((page) => page.words.map((word) => word.text)).join(' '),
      problems: problems.map(({ code }) => code),
    }))
    expect(said).toEqual([
      { path: 'drive.csv', media: 'text/csv', words: 'time speed note 0 0 start 1 4 moving', problems: [] },
      { path: 'empty.pdf', media: 'application/x-empty', words: '', problems: ['empty-file'] },
      { path: 'note.txt', media: 'text/plain', words: 'All modules answered', problems: [] },
      { path: 'scan.pdf', media: 'application/pdf', words: 'Front radar: no fault', problems: [] },
    ])
  } finally {
    await pool.close()
  }
})
