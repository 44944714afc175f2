import type { PDFPageProxy } from 'pdfjs-dist'
import { useEffect, useRef, useState } from 'react'
import { useFileBytes } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Waiting } from '../parts/waiting.tsx'
import type { PageProps } from './page-props.ts'
import { PageStage } from './page-stage.tsx'
import { usePdfPage } from './use-pdf-page.ts'

/** A page of a PDF, drawn here from the file's own bytes. */
export function PdfPage({ accession, file, page: number, end, marks, label }: PageProps) {
  const bytes = useFileBytes(accession, file.number)
  const { page, fault } = usePdfPage(bytes.data, end, number)
  if (bytes.isError) return <ProblemNote problem={problemOf(bytes.error)} retry={() => void bytes.refetch()} small />
  if (fault !== null)
    return (
      <ProblemNote
        problem={{
          ...problemOf(fault),
          title: 'This page cannot be drawn',
          mend: 'Save the file and open it elsewhere.',
        }}
        small
      />
    )
  if (page === null) return <Waiting what={file.path} />
  const { width, height } = page.getViewport({ scale: 1 })
  return (
    <PageStage size={{ width, height }} unit="pt" marks={marks} label={label}>
      {({ scale }) => <PdfCanvas page={page} scale={scale} label={label} />}
    </PageStage>
  )
}

/** No larger canvas than browsers can hold, in pixels. */
const mostPixels = 16_000_000

function PdfCanvas({ page, scale, label }: { page: PDFPageProxy; scale: number; label: string }) {
  const canvas = useRef<HTMLCanvasElement>(null)
  const [fault, setFault] = useState<Error | null>(null)
  useEffect(() => {
    const element = canvas.current
    if (element === null) return
    const { width, height } = page.getViewport({ scale })
    const dense = Math.min(window.devicePixelRatio || 1, Math.sqrt(mostPixels / (width * height)))
    // Drawn aside, so that the page does not go blank while it is drawn anew.
    const fresh = document.createElement('canvas')
    fresh.width = Math.ceil(width * dense)
    fresh.height = Math.ceil(height * dense)
    const work = page.render({ canvas: fresh, viewport: page.getViewport({ scale: scale * dense }) })
    work.promise.then(
      () => {
        element.width = fresh.width
        element.height = fresh.height
        element.getContext('2d')?.drawImage(fresh, 0, 0)
        element.dataset.drawn = 'true'
      },
      (error: unknown) => {
        if (!(error instanceof Error && error.name === 'RenderingCancelledException')) setFault(error as Error)
      },
    )
    return () => work.cancel()
  }, [page, scale])
  if (fault !== null) return <ProblemNote problem={problemOf(fault)} small />
  return <canvas ref={canvas} role="img" aria-label={label} />
}
