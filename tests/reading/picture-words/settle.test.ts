/** Reading doubtful words again, with an engine that counts and sees nothing. */
import { expect, test } from 'vitest'
import { prepareWords, type SeenWord } from '../../../src/reading/picture-words/engine.ts'
import { moved } from '../../../src/reading/picture-words/projective.ts'
import { settleWords } from '../../../src/reading/picture-words/settle.ts'

let readings = 0

/** What is read: no word. */
const nothing = {
  Begin: () => undefined,
  Next: () => false,
  Empty: () => true,
  GetUTF8Text: () => '',
  Confidence: () => 0,
  getBoundingBox: () => ({ x0: 0, y0: 0, x1: 0, y1: 0 }),
  getBaseline: () => ({ x0: 0, y0: 0, x1: 0, y1: 0, has_baseline: false }),
  getRowAttributes: () => ({ row_height: 0, descenders: 0, ascenders: 0 }),
}

class Api {
  Init = () => 0
  SetVariable = () => true
  SetPageSegMode = () => undefined
  SetImageFile = () => 0
  SetSourceResolution = () => undefined
  Recognize = () => {
    readings++
    return 0
  }
  GetIterator = () => nothing
  Clear = () => undefined
}

prepareWords(() => ({
  make: async () => ({ FS: { writeFile: () => undefined, unlink: () => undefined }, TessBaseAPI: Api }),
  wasm: new Uint8Array(),
  trained: new Uint8Array(),
}))

const paper = { width: 400, height: 60, levels: new Uint8Array(400 * 60).fill(255) }
const wordAt = (text: string, confidence: number): SeenWord => ({
  text,
  confidence,
  ink: [20, 20, 60, 30],
  ...{ top: 18, bottom: 32, size: 12 },
})

async function count(words: readonly SeenWord[]): Promise<number> {
  readings = 0
  await settleWords({ base: paper, work: paper, map: moved(0, 0), light: false, size: 10, words })
  return readings
}

test('costs two readings a word, and no more than four hundred words of a page are read again', async () => {
  const doubtful = Array.from({ length: 450 }, () => wordAt('hedge', 60))
  expect(await count(doubtful.slice(0, 3))).toBe(6)
  expect(await count(doubtful)).toBe(800)
  expect(await count([wordAt('hedge', 97)])).toBe(0)
})

test('is done for what may be a vehicle number however many words there are', async () => {
  const doubtful = Array.from({ length: 450 }, () => wordAt('hedge', 60))
  expect(await count([...doubtful, wordAt('1M8GDM9AXKP042788', 99)])).toBe(803)
})
