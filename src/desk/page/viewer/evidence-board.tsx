import { useState } from 'react'
import type { FileView } from '../../contract.ts'
import type { Look } from '../logic/looks.ts'
import { LookCard } from './look-card.tsx'

interface Props {
  accession: string
  looks: readonly Look[]
  files: readonly FileView[]
}

/** More are shown when asked for: what more files say alike proves nothing more. */
const atFirst = 6

/** The places that a finding rests on, those that tell against each other side by side. */
export function EvidenceBoard({ accession, looks, files }: Props) {
  const [isAll, setAll] = useState(false)
  const [large, setLarge] = useState<number | null>(null)
  const shown = isAll ? looks : looks.slice(0, atFirst)
  return (
    <div className={looks.length === 1 ? 'board single' : 'board'}>
      {shown.map((look, at) => (
        <LookCard
          key={`${look.file} ${look.page} ${look.end}`}
          accession={accession}
          look={look}
          file={files.find(({ path }) => path === look.file)}
          isLarge={large === at}
          turnLarge={() => setLarge(large === at ? null : at)}
        />
      ))}
      {shown.length < looks.length ? (
        <button type="button" onClick={() => setAll(true)}>
          Show {looks.length - shown.length} more places
        </button>
      ) : null}
    </div>
  )
}
