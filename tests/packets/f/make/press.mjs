/** A press for the pages of this set, and the truth that goes beside the papers. */
import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'

/** A PDF that Chromium printed, dated anew: its information dictionary is not compressed, and the dates have one length. */
function dateAnew(bytes, made) {
  const [day, zone] = [made.slice(0, 19).replace(/[-:T]/g, ''), made.slice(19).replace(':', "'")]
  return Buffer.from(bytes.toString('latin1').replace(/\((D:\d{14})[+-]\d{2}'\d{2}'\)/g, `(D:${day}${zone}')`), 'latin1')
}

/** A packet of this set: `text` and `page` (HTML, printed) put a file and its truth into it, `end` writes the truth down. */
export function packet(name) {
  const folder = fileURLToPath(new URL(`../${name}`, import.meta.url))
  const files = join(folder, 'files')
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(files, { recursive: true })
  const work = mkdtempSync(join(tmpdir(), 'set-f-'))
  const documents = {}
  return {
    text(file, content, truth) {
      writeFileSync(join(files, file), content)
      if (truth) documents[file] = truth
    },
    page(file, html, { made }, truth) {
      const [source, raw] = [join(work, 'page.html'), join(work, 'raw.pdf')]
      writeFileSync(source, html)
      execFileSync('chromium', ['--headless', '--no-sandbox', '--disable-gpu', '--no-pdf-header-footer', `--print-to-pdf=${raw}`, source], { stdio: 'ignore' })
      writeFileSync(raw, dateAnew(readFileSync(raw), made))
      execFileSync('qpdf', ['--deterministic-id', raw, join(files, file)])
      documents[file] = truth
    },
    end({ note, expected = [], allowed = [] }) {
      rmSync(work, { recursive: true, force: true })
      const truth = { note, clean: expected.length === 0, documents, expected, allowed }
      writeFileSync(join(folder, 'truth.json'), `${JSON.stringify(truth, null, 1)}\n`)
    },
  }
}
