/** How many words of known pages are read from pictures of them: a page of the examples, drawn and then as a scanner brings it. */
import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { illegible } from '../../../src/facts/illegible.ts'
import { type LookingPool, startLooking } from '../../../src/io/looking-process.ts'
import { judgeWords } from '../../../src/reading/picture-words/doubt.ts'
import { readFile } from '../../../src/reading/read.ts'
import { countSame } from '../../bench/reading/align.ts'
import { degrade } from '../../bench/reading/degrade.ts'
import type { Harm } from '../../bench/reading/levels.ts'

const page = new Uint8Array(readFileSync('examples/packets/windshield-camera/estimate.pdf'))

let pool: LookingPool
let printed: string[] = []
beforeAll(async () => {
  // A busy machine takes long, which is no matter here.
  pool = startLooking({ processes: 1, milliseconds: 280_000 })
  const { pages } = await readFile(Uint8Array.from(page), { path: 'page.pdf', media: 'application/pdf' })
  printed = plain(pages[0]?.words.map(({ text }) => text) ?? [])
}, 120_000)
afterAll(() => pool?.close())

/** Marks at the ends of words are told apart by no reader. */
const plain = (words: readonly string[]): string[] =>
  words.map((word) => word.replace(/^[^\p{L}\p{N}]+|[^\p{L}\p{N}%°)]+$/gu, '')).filter((word) => word !== '')

const scanned: Harm = { dpi: 200, turned: 1.3, blurred: 0.5, noise: 5, quality: 70 }

// 84 and 83 of 87 words when this was written, none of those that were used wrong.
test.each([
  ['drawn', { dpi: 200 }, 0.95],
  ['scanned', scanned, 0.93],
] as const)('of a page that was %s', { timeout: 300_000 }, async (_, harm, least) => {
  const { bytes, media } = await degrade(page, harm, 1)
  const read = await pool.readWords(bytes, { path: 'page', media }, 1)
  if ('fault' in read) throw new Error(read.fault)
  const used = plain(
    judgeWords(read.words)
      .map(({ text }) => text)
      .filter((text) => text !== illegible),
  )
  const right = countSame(printed, used)
  expect(right / printed.length).toBeGreaterThanOrEqual(least)
  expect(used.length - right).toBeLessThanOrEqual(2)
})
