import type { PDFDocumentProxy, PDFPageProxy } from 'pdfjs-dist'
import { useEffect, useState } from 'react'
import { openPdf } from './pdf-library.ts'

interface PdfPage {
  page: PDFPageProxy | null
  pages: number
  fault: Error | null
}

const asError = (error: unknown): Error => (error instanceof Error ? error : new Error(String(error)))

/** One page of a PDF's bytes; `end`: only the file up to this byte, an earlier state of it. */
export function usePdfPage(bytes: ArrayBuffer | undefined, end: number | null, number: number): PdfPage {
  const [document, setDocument] = useState<PDFDocumentProxy | null>(null)
  const [page, setPage] = useState<PDFPageProxy | null>(null)
  const [fault, setFault] = useState<Error | null>(null)
  useEffect(() => {
    if (bytes === undefined) return
    let isGone = false
    setFault(null)
    const opening = openPdf(bytes, end)
    opening
      .then((task) => task.promise)
      .then((opened) => isGone || setDocument(opened))
      .catch((error: unknown) => isGone || setFault(asError(error)))
    return () => {
      isGone = true
      setDocument(null)
      setPage(null)
      opening.then((task) => task.destroy()).catch(() => {})
    }
  }, [bytes, end])
  useEffect(() => {
    if (document === null) return
    let isGone = false
    setFault(null)
    document.getPage(Math.min(number, document.numPages)).then(
      (found) => isGone || setPage(found),
      (error: unknown) => isGone || setFault(asError(error)),
    )
    return () => {
      isGone = true
    }
  }, [document, number])
  return { page, pages: document?.numPages ?? 0, fault }
}
