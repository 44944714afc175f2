import { useRef, useState } from 'react'
import type { Box } from '../../../index.ts'
import type { FileView } from '../../contract.ts'
import { filePath } from '../api/queries.ts'
import { isDeclaration, type Look } from '../logic/looks.ts'
import { DeclarationPage } from './declaration-page.tsx'
import type { PageProps } from './page-props.ts'
import { PdfPage } from './pdf-page.tsx'
import { PicturePage } from './picture-page.tsx'
import { TrackPage } from './track-page.tsx'
import { useSeen } from './use-seen.ts'
import { WordsPage } from './words-page.tsx'

interface Props {
  accession: string
  look: Look
  /** Undefined where the packet keeps no file of that name. */
  file: FileView | undefined
  isLarge: boolean
  turnLarge: () => void
}

const noMarks: readonly Box[] = []

/** One page of the evidence: what it is, the words that count, and the page with those words marked. */
export function LookCard({ accession, look, file, isLarge, turnLarge }: Props) {
  const card = useRef<HTMLElement>(null)
  const isSeen = useSeen(card)
  const [page, setPage] = useState(look.page)
  const hasTrack = file?.track === true && look.marks.length === 0
  const [asWords, setAsWords] = useState(false)
  const marks = page === look.page ? look.marks : noMarks
  const title = file?.pages && file.pages > 1 ? `${look.file}, page ${page} of ${file.pages}` : look.file
  const said = look.words.length === 0 ? '' : `: ${look.words.map((words) => `“${words}”`).join(', ')} marked`
  return (
    <article ref={card} className={isLarge ? 'look large' : 'look'} aria-label={title}>
      <header>
        <h3>
          {title}
          {look.label === null || look.label === look.file ? null : <span className="look-label"> {look.label}</span>}
        </h3>
        {look.words.length === 0 ? null : (
          <p className="look-words">
            {look.words.slice(0, 4).map((words) => (
              <q key={words}>{words.length > 160 ? `${words.slice(0, 159)}…` : words}</q>
            ))}
            {look.words.length > 4 ? <span className="quiet"> and {look.words.length - 4} more</span> : null}
          </p>
        )}
        {file === undefined ? null : (
          <p className="look-tools">
            {file.pages > 1 ? (
              <>
                <button type="button" disabled={page <= 1} onClick={() => setPage(page - 1)} aria-label="Page before">
                  ‹
                </button>
                <button
                  type="button"
                  disabled={page >= file.pages}
                  onClick={() => setPage(page + 1)}
                  aria-label="Next page"
                >
                  ›
                </button>
              </>
            ) : null}
            {file.shown === 'pdf' || file.shown === 'picture' || hasTrack ? (
              <button type="button" aria-pressed={asWords} onClick={() => setAsWords(!asWords)}>
                As words
              </button>
            ) : null}
            <button type="button" aria-pressed={isLarge} onClick={turnLarge}>
              Large
            </button>
            <a href={filePath(accession, file.number)} download={file.path.split('/').at(-1)}>
              Save
            </a>
          </p>
        )}
      </header>
      {file === undefined ? (
        <p className="quiet">The packet keeps no file of this name.</p>
      ) : isSeen ? (
        <ShownPage
          {...{ accession, file, page, marks, asWords, hasTrack }}
          end={look.end}
          label={`${title}${page === look.page ? said : ''}`}
        />
      ) : (
        <div className="stage-scroll" />
      )}
    </article>
  )
}

function ShownPage({ asWords, hasTrack, ...props }: PageProps & { asWords: boolean; hasTrack: boolean }) {
  const { file } = props
  if (hasTrack && !asWords) return <TrackPage {...props} />
  if (isDeclaration(file.path)) return <DeclarationPage {...props} />
  if (asWords || file.shown === 'words') return <WordsPage {...props} />
  if (file.shown === 'pdf') return <PdfPage {...props} />
  if (file.shown === 'picture') return <PicturePage {...props} />
  return <p className="quiet">This file can only be saved: the desk does not know how to show it.</p>
}
