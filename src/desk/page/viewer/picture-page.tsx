import { useEffect, useState } from 'react'
import { useFilePicture } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Waiting } from '../parts/waiting.tsx'
import type { PageProps } from './page-props.ts'
import { PageStage } from './page-stage.tsx'

/** A picture, or a page that the server draws. */
export function PicturePage({ accession, file, page, marks, label }: PageProps) {
  const picture = useFilePicture(accession, file.number, page)
  const address = useObjectAddress(picture.data?.picture)
  if (picture.isError)
    return <ProblemNote problem={problemOf(picture.error)} retry={() => void picture.refetch()} small />
  if (picture.data === undefined || address === null) return <Waiting what={file.path} />
  const [x0, y0, x1, y1] = picture.data.region
  return (
    <PageStage size={{ width: x1 - x0, height: y1 - y0 }} origin={[x0, y0]} unit="px" marks={marks} label={label}>
      {() => <img src={address} alt={label} />}
    </PageStage>
  )
}

function useObjectAddress(blob: Blob | undefined): string | null {
  const [address, setAddress] = useState<string | null>(null)
  useEffect(() => {
    if (blob === undefined) return
    const made = URL.createObjectURL(blob)
    setAddress(made)
    return () => URL.revokeObjectURL(made)
  }, [blob])
  return address
}
