/**
 * The one door to Tesseract 5 (compiled to WebAssembly; lines are read by its neural network). It gets a picture in grey
 * and gives words, and knows nothing of where they come from.
 */
import type { Box } from '../../facts/reading.ts'
import type { Grey } from './grey.ts'

/** What the engine says of one word. Boxes in pixels. */
export interface SeenWord {
  text: string
  /** 0 to 100. */
  confidence: number
  /** Tight round its ink. */
  ink: Box
  /** From the top of tall letters to the foot of low ones, in its line. */
  top: number
  bottom: number
  /** Of the font, told from the height of the line. */
  size: number
}

/** What is used of `tesseract-core-*.js`, which comes without types. */
interface Core {
  FS: { writeFile(path: string, data: Uint8Array): void; unlink(path: string): void }
  TessBaseAPI: new () => Api
}
export type MakeCore = (options: {
  wasmBinary: Uint8Array
  print(text: string): void
  printErr(text: string): void
}) => Promise<Core>

interface Api {
  /** 0 where it went well. */
  Init(path: string, language: string, mode: number): number
  SetVariable(name: string, value: string): boolean
  SetPageSegMode(mode: number): void
  SetImageFile(): number
  SetSourceResolution(dotsPerInch: number): void
  /** 0 where it went well. */
  Recognize(monitor: null): number
  GetIterator(): Iterator
  Clear(): void
}

interface Iterator {
  Begin(): void
  Next(level: number): boolean
  Empty(level: number): boolean
  GetUTF8Text(level: number): string
  Confidence(level: number): number
  getBoundingBox(level: number): { x0: number; y0: number; x1: number; y1: number }
  getBaseline(level: number): { x0: number; y0: number; x1: number; y1: number; has_baseline: boolean }
  getRowAttributes(): { row_height: number; descenders: number; ascenders: number }
}

/** Constants of Tesseract's `publictypes.h`. */
const networkOnly = 1
const oneBlock = 6
const oneLine = 7
const wordLevel = 3

let engine: Promise<{ core: Core; api: Api }> | undefined
let prepare: (() => Promise<{ core: Core; api: Api }>) | undefined

/** Call once, before words are looked for. `load` gives the module, its WebAssembly and the trained data, unpacked. */
export function prepareWords(load: () => { make: MakeCore; wasm: Uint8Array; trained: Uint8Array }): void {
  prepare = async () => {
    const { make, wasm, trained } = load()
    const core = await make({ wasmBinary: wasm, print() {}, printErr() {} })
    core.FS.writeFile('/eng.traineddata', trained)
    const api = new core.TessBaseAPI()
    if (api.Init('/', 'eng', networkOnly) !== 0) throw new Error('the reader of words in pictures does not start')
    // Codes and numbers are no words: what the dictionary makes of them is wrong.
    for (const name of ['load_system_dawg', 'load_freq_dawg']) api.SetVariable(name, '0')
    return { core, api }
  }
}

/** The words of a picture, line by line, or of its one line. Throws where the engine was not prepared or fails. */
export async function recogniseWords(grey: Grey, isLine = false): Promise<SeenWord[]> {
  engine ??= prepare?.()
  if (engine === undefined) throw new Error('the reader of words in pictures was not prepared')
  const { core, api } = await engine
  core.FS.writeFile('/input', portableGreymap(grey))
  api.SetPageSegMode(isLine ? oneLine : oneBlock)
  if (api.SetImageFile() !== 0) throw new Error('the picture cannot be handed to the reader of words')
  api.SetSourceResolution(200)
  const failed = api.Recognize(null) !== 0
  const words = failed ? [] : collect(api.GetIterator())
  api.Clear()
  core.FS.unlink('/input')
  if (failed) throw new Error('the reader of words in pictures failed')
  return words
}

/** PGM, binary (netpbm). */
function portableGreymap({ width, height, levels }: Grey): Uint8Array {
  const head = new TextEncoder().encode(`P5\n${width} ${height}\n255\n`)
  const file = new Uint8Array(head.length + levels.length)
  file.set(head)
  file.set(levels, head.length)
  return file
}

function collect(at: Iterator): SeenWord[] {
  const words: SeenWord[] = []
  at.Begin()
  do {
    if (at.Empty(wordLevel)) continue
    const text = at.GetUTF8Text(wordLevel).trim()
    if (text === '') continue
    const { x0, y0, x1, y1 } = at.getBoundingBox(wordLevel)
    const base = at.getBaseline(wordLevel)
    const { row_height: height, descenders } = at.getRowAttributes()
    const foot = base.has_baseline ? (base.y0 + base.y1) / 2 : y1
    const bottom = foot + Math.abs(descenders)
    words.push({
      text,
      confidence: Math.max(0, Math.min(100, at.Confidence(wordLevel))),
      ink: [x0, y0, x1, y1],
      top: bottom - height,
      bottom,
      size: height / rowOfSize,
    })
  } while (at.Next(wordLevel))
  return words
}

/** From the top of tall letters to the foot of low ones, of the size of the font: 0.92 in common sans serif faces. */
const rowOfSize = 0.92
