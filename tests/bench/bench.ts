/** `npm run bench`: how long a check takes, beside plain programs on the same files, and how much memory a long PDF. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { recogniseDocument } from '../../src/facts/recognise/document.ts'
import { compileVocabulary, parseVocabularyPage } from '../../src/facts/vocabulary.ts'
import { readShippedVocabulary } from '../../src/io/shipped.ts'
import { layOut } from '../../src/reading/layout.ts'
import { readFile } from '../../src/reading/read.ts'
import { root } from '../source-file.ts'
import { measurePeaks, writeLongPdf } from './memory.ts'
import { measureSeal } from './seal.ts'
import { type Contest, contest } from './timing.ts'
import { canMeasure, requireYardstick, runYardstick } from './yardstick.ts'

const packets = join(root, 'tests', 'packets')
/** Ten files: seven PDFs, two pictures, a drive log. */
const packet = join(packets, 'd', 'p01', 'files')
const program = join(root, 'cli', 'main.ts')
const isPdf = (path: string) => /\.pdf$/i.test(path)

const filesUnder = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))
    .sort()

function checkOnce(): void {
  const { status } = spawnSync(process.execPath, [program, 'check', packet, '--as-of', '2026-11-25'], {
    stdio: 'ignore',
  })
  if (status !== 0 && status !== 1) throw new Error(`the check ended with status ${status}`)
}

/** Reads, lays out and recognises every PDF in this process; pages read. */
async function makeWarmRun(pdfs: readonly string[]): Promise<() => Promise<number>> {
  const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
  return async () => {
    let pages = 0
    for (const path of pdfs) {
      const bytes = new Uint8Array(readFileSync(path))
      const media = 'application/pdf'
      const reading = await readFile(bytes, { path, media })
      const source = { file: path, sha256: '', bytes: bytes.length, media }
      recogniseDocument(reading, layOut(reading.pages), source, vocabulary)
      pages += reading.pages.length
    }
    return pages
  }
}

const show = (name: string, { ratio, ours, yardstick }: Contest, more = '') =>
  process.stdout.write(
    `${name.padEnd(34)}${ratio.toFixed(1).padStart(6)} ×${ours.toFixed(2).padStart(9)} s${yardstick.toFixed(2).padStart(9)} s  ${more}\n`,
  )

async function main(): Promise<void> {
  requireYardstick()
  const files = filesUnder(packet)
  const pdfs = filesUnder(packets).filter((path) => isPdf(path) && canMeasure(path))
  process.stdout.write(
    'Medians; the yardstick is pdftotext -bbox on the PDFs and sha256sum on the files, in turns.\n\n',
  )
  process.stdout.write(`${''.padEnd(34)}   ratio    medians: ours, yardstick\n`)
  const cold = await contest(checkOnce, () => runYardstick(files.filter(isPdf), files), 5)
  show(`check, cold, ${files.length} files`, cold)
  const run = await makeWarmRun(pdfs)
  const pages = await run()
  const warm = await contest(
    async () => void (await run()),
    () => runYardstick(pdfs, pdfs),
    3,
  )
  show(`read, warm, ${pdfs.length} PDFs, ${pages} pages`, warm, `${(pages / warm.ours).toFixed(0)} pages/s`)
  if (process.platform !== 'linux') return
  const scratch = mkdtempSync(join(tmpdir(), 'witnessmark-bench-'))
  try {
    const long = join(scratch, 'long.pdf')
    await writeLongPdf(long, 500)
    const peaks = await measurePeaks([program, 'check', scratch, '--as-of', '2026-11-25'])
    process.stdout.write(
      `\nA PDF of 500 pages: at most ${peaks.parent.toFixed(0)} MiB resident in the program, ${peaks.child.toFixed(0)} MiB in its reading process.\n`,
    )
    process.stdout.write('\nA packet of 1 GiB; the yardstick is openssl dgst -sha256 and -sha512 on its files.\n\n')
    const { seal, verify, sealPeaks, verifyPeaks } = await measureSeal(scratch, 3)
    const memory = (peak: number) => `at most ${peak.toFixed(0)} MiB resident`
    show('seal, 1 GiB', seal, memory(sealPeaks.parent))
    show('verify, 1 GiB', verify, memory(verifyPeaks.parent))
  } finally {
    rmSync(scratch, { recursive: true })
  }
}

try {
  await main()
} catch (error) {
  process.stderr.write(`bench: ${error instanceof Error ? error.message : String(error)}\n`)
  process.exitCode = 1
}
