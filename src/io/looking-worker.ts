/** What runs in a looking process: looks at the pictures that the parent sends, one at a time. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { prepareBarcodes } from '../reading/barcodes.ts'
import { lookAtFile } from '../reading/look.ts'
import { answerRequests } from './worker-channel.ts'

const wasm = fileURLToPath(import.meta.resolve('zxing-wasm/reader/zxing_reader.wasm'))
prepareBarcodes(new Uint8Array(readFileSync(wasm)))
answerRequests((bytes, { path, media }) => lookAtFile(bytes, { path, media }))
