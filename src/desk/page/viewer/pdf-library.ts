/** pdf.js, loaded when the first PDF is looked at, with one worker for all documents. */
import type { PDFDocumentLoadingTask, PDFWorker } from 'pdfjs-dist'
import workerAddress from 'pdfjs-dist/legacy/build/pdf.worker.min.mjs?url'

type Library = typeof import('pdfjs-dist')

let library: Promise<{ pdfjs: Library; worker: PDFWorker }> | undefined

async function load() {
  // The build for browsers that are some years old: desks have those.
  const pdfjs: Library = await import('pdfjs-dist/legacy/build/pdf.mjs')
  pdfjs.GlobalWorkerOptions.workerSrc = workerAddress
  return { pdfjs, worker: pdfjs.PDFWorker.create({ name: 'pages' }) }
}

/** The size of a picture in a PDF beyond which it is not decoded, in pixels. */
const mostPixels = 100_000_000

/** Begins to open a PDF. No script of it runs, and its forms are drawn as they are on paper. */
export async function openPdf(bytes: ArrayBuffer, end: number | null): Promise<PDFDocumentLoadingTask> {
  library ??= load()
  const { pdfjs, worker } = await library.catch((error: unknown) => {
    library = undefined
    throw error
  })
  const folder = import.meta.env.PDF_FILES
  return pdfjs.getDocument({
    // A copy: the worker takes it away.
    data: new Uint8Array(bytes.slice(0, end ?? bytes.byteLength)),
    worker,
    enableXfa: false,
    useSystemFonts: false,
    stopAtErrors: false,
    maxImageSize: mostPixels,
    cMapUrl: `${folder}cmaps/`,
    standardFontDataUrl: `${folder}standard_fonts/`,
    wasmUrl: `${folder}wasm/`,
    iccUrl: `${folder}iccs/`,
    isEvalSupported: false,
    verbosity: 0,
  } as Parameters<Library['getDocument']>[0])
}
