/**
 * The one door to pdfjs: how it is loaded, what it may do, and what it says on the side.
 *
 * pdfjs reports damage that it works around only by `console.warn`; without it a broken content stream looks like an
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

/** Waits for earlier documents, then runs `work` with pdfjs loaded and its warnings kept from the console. */
export function withPdfjs<T>(work: (pdfjs: Pdfjs, warnings: Warnings) => Promise<T>): Promise<T> {
  const result = turn.then(async () => {
    let kept: string[] = []
    const warn = console.warn
    const log = console.log
    console.warn = (...said: unknown[]) => {
      if (kept.length < 1000) kept.push(said.map(String).join(' '))
    }
    console.log = console.warn
    try {
      library ??= import('pdfjs-dist/legacy/build/pdf.mjs')
      return await work(await library, {
        take: () => {
          const taken = kept
          kept = []
          return taken
        },
      })
    } finally {
      console.warn = warn
      console.log = log
    }
  })
  turn = result.catch(() => undefined)
  return result
}

/**
 * Opens a document. Pictures are left undecoded (`maxImageSize: 1` makes pdfjs warn of each instead): reading words
 * needs none, and they are what makes small files large. No script runs, no system font is looked for.
 */
export function openDocument(pdfjs: Pdfjs, bytes: Uint8Array) {
  const home = dirname(createRequire(import.meta.url).resolve('pdfjs-dist/package.json'))
  return pdfjs.getDocument({
    // pdfjs detaches the buffer it is given.
    data: Uint8Array.from(bytes),
    verbosity: 1,
    maxImageSize: 1,
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
