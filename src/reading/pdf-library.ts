/**
 * The one door to pdfjs: how it is loaded, what it may do, and what it says on the side.
 *
 * pdfjs reports damage that it works around only on the console; without that a broken content stream looks like an
 * empty page. So documents are read one after the other in a process, and while one is read its warnings are kept.
 */
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'

type Pdfjs = typeof import('pdfjs-dist/legacy/build/pdf.mjs')
export type PdfDocument = Awaited<ReturnType<Pdfjs['getDocument']>['promise']>
export type PdfPage = Awaited<ReturnType<PdfDocument['getPage']>>

let library: Promise<Pdfjs> | undefined
let turn: Promise<unknown> = Promise.resolve()

/** Warnings of pdfjs since `take` was last called. */
export interface Warnings {
  take(): string[]
}

/** Takes over the console while `work` runs. */
async function listening<T>(keep: (said: string) => void, work: () => Promise<T>): Promise<T> {
  const { warn, info, log } = console
  const listen = (...said: unknown[]) => keep(said.map(String).join(' '))
  Object.assign(console, { warn: listen, info: listen, log: listen })
  try {
    return await work()
  } finally {
    Object.assign(console, { warn, info, log })
  }
}

/**
 * For broken cross-references pdfjs leaves a promise rejected that nobody waits for, which would end the process.
 * Those of pdfjs become warnings while `work` runs; all others go where they would have gone.
 */
async function catchingStrays<T>(keep: (said: string) => void, work: () => Promise<T>): Promise<T> {
  const event = 'unhandledRejection'
  const others = process.listeners(event)
  const stray = (reason: unknown, promise: Promise<unknown>) => {
    if (reason instanceof Error && /pdfjs-dist/.test(reason.stack ?? '')) keep(`Warning: ${reason.message}`)
    else if (others.length === 0) throw reason
    else for (const listener of others) listener(reason, promise)
  }
  process.removeAllListeners(event)
  process.on(event, stray)
  try {
    return await work()
  } finally {
    // Strays are reported once the current turn of the event loop ends.
    await new Promise((resolve) => setImmediate(resolve))
    process.removeListener(event, stray)
    for (const listener of others) process.on(event, listener)
  }
}

/** Waits for earlier documents, then runs `work` with pdfjs loaded and its warnings kept from the console. */
export function withPdfjs<T>(work: (pdfjs: Pdfjs, warnings: Warnings) => Promise<T>): Promise<T> {
  let kept: string[] = []
  const keep = (said: string) => {
    if (kept.length < 1000) kept.push(said)
  }
  const warnings = {
    take: () => {
      const taken = kept
      kept = []
      return taken
    },
  }
  const result = turn.then(() =>
    listening(keep, () =>
      catchingStrays(keep, async () => {
        library ??= import('pdfjs-dist/legacy/build/pdf.mjs')
        return work(await library, warnings)
      }),
    ),
  )
  turn = result.catch(() => undefined)
  return result
}

/**
 * Opens a document. Pictures of more than `maxImageSize` pixels are left undecoded; 1 leaves out all, and makes pdfjs
 * warn of each instead: reading words needs none, and they are what makes small files large. No script runs, no system font is looked for.
 */
export function openDocument(pdfjs: Pdfjs, bytes: Uint8Array, maxImageSize = 1) {
  const home = dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json'))
  return pdfjs.getDocument({
    // pdfjs detaches the buffer it is given.
    data: Uint8Array.from(bytes),
    // Even a broken compressed stream is only an "Info" to pdfjs.
    verbosity: 5,
    maxImageSize,
    useSystemFonts: false,
    fontExtraProperties: true,
    isOffscreenCanvasSupported: false,
    isImageDecoderSupported: false,
    useWorkerFetch: false,
    enableXfa: false,
    stopAtErrors: false,
    cMapUrl: join(home, 'cmaps/'),
    cMapPacked: true,
    standardFontDataUrl: join(home, 'standard_fonts/'),
    wasmUrl: join(home, 'wasm/'),
    iccUrl: join(home, 'iccs/'),
  })
}

/** What pdfjs says of every picture that `openDocument` keeps it from decoding. */
export function isPictureWarning(warning: string): boolean {
  return warning.includes('Image exceeded maximum allowed size')
}
