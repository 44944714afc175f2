/** What runs in a looking process: looks at the pictures that the parent sends, one at a time. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { fileURLToPath } from 'node:url'
import { gunzipSync } from 'node:zlib'
import { prepareBarcodes } from '../reading/barcodes.ts'
import { lookAtFile, readPictureWords } from '../reading/look.ts'
import { type MakeCore, prepareWords } from '../reading/picture-words/engine.ts'
import { answerRequests } from './worker-channel.ts'

const fileOf = (name: string) => new Uint8Array(readFileSync(fileURLToPath(import.meta.resolve(name))))

prepareBarcodes(fileOf('zxing-wasm/reader/zxing_reader.wasm'))
// Loaded when first needed: most pictures need no more than a look.
prepareWords(() => ({
  make: createRequire(import.meta.url)('tesseract.js-core/tesseract-core-relaxedsimd-lstm.js') as MakeCore,
  wasm: fileOf('tesseract.js-core/tesseract-core-relaxedsimd-lstm.wasm'),
  trained: new Uint8Array(gunzipSync(fileOf('@tesseract.js-data/eng/4.0.0_best_int/eng.traineddata.gz'))),
}))
answerRequests((bytes, { path, media, task = 'look', page = 1 }) =>
  task === 'words' ? readPictureWords(bytes, { path, media }, page) : lookAtFile(bytes, { path, media }, page),
)
