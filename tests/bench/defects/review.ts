/** Reviews files in memory through the whole pipeline; files are read, and pictures looked at, in this process. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { loadRulebook, loadVocabulary } from '../../../cli/shipped-data.ts'
import type { Reading } from '../../../src/facts/reading.ts'
import type { Report } from '../../../src/findings/report.ts'
import type { Storage } from '../../../src/intake/storage.ts'
import { prepareBarcodes } from '../../../src/reading/barcodes.ts'
import { isPicture, lookAtFile } from '../../../src/reading/look.ts'
import { addSeen } from '../../../src/reading/pictured.ts'
import { type ReadingHint, readFile } from '../../../src/reading/read.ts'
import { checkPacket } from '../../../src/review.ts'
import type { Desk } from './injectors/defect.ts'
import type { Files } from './render.ts'

const root = 'packet'

function storageOf(files: Files): Storage {
  const inside = (path: string): Uint8Array => {
    const bytes = files.get(path.slice(root.length + 1))
    if (!bytes) throw Object.assign(new Error(`no ${path}`), { code: 'ENOENT' })
    return bytes
  }
  return {
    look: async (path) => ({ kind: 'folder', bytes: 0, identity: path, path }),
    list: async () =>
      [...files].map(([name, bytes]) => ({
        kind: 'file' as const,
        bytes: bytes.length,
        identity: name,
        name: new TextEncoder().encode(name),
        path: `${root}/${name}`,
      })),
    open: async (path) => {
      const bytes = inside(path)
      return {
        bytes: bytes.length,
        read: async (target, position) => {
          const part = bytes.subarray(position, position + target.length)
          target.set(part)
          return part.length
        },
        close: async () => {},
      }
    },
  }
}

async function readAndLook(bytes: Uint8Array, hint: ReadingHint): Promise<Reading> {
  const reading = await readFile(bytes, hint)
  if (!isPicture(hint.media) || bytes.length === 0) return reading
  return addSeen(reading, [{ page: 1, looked: await lookAtFile(bytes, hint), words: null }])
}

/** Reviews by the rulebook of a desk, or by the general one. */
export type Reviewer = (files: Files, desk?: Desk) => Promise<Report>

/** `reviewed`: the day of review of every packet. */
export async function openReviewer(reviewed = '2026-11-25'): Promise<Reviewer> {
  const [general, delivery, vocabulary] = await Promise.all([
    loadRulebook(),
    loadRulebook({ for: 'delivery' }),
    loadVocabulary(undefined),
  ])
  const wasm = fileURLToPath(import.meta.resolve('zxing-wasm/reader/zxing_reader.wasm'))
  prepareBarcodes(new Uint8Array(readFileSync(wasm)))
  const rulebooks = { general, delivery }
  return (files, desk) =>
    checkPacket(
      root,
      { storage: storageOf(files), read: readAndLook },
      { vocabulary, rulebook: rulebooks[desk ?? 'general'], reviewed },
    )
}
