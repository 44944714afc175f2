import { useEffect, useRef } from 'react'
import { useFileBytes } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { markLines } from '../logic/lines.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Scroller } from '../parts/scroller.tsx'
import { Waiting } from '../parts/waiting.tsx'
import type { PageProps } from './page-props.ts'

/** What declares the packet, as text with its lines numbered: its places are lines and columns. */
export function DeclarationPage({ accession, file, marks, label }: PageProps) {
  const bytes = useFileBytes(accession, file.number)
  const scroller = useRef<HTMLDivElement>(null)
  // biome-ignore lint/correctness/useExhaustiveDependencies: scrolled to the marks as soon as there is a text.
  useEffect(() => {
    const element = scroller.current
    const mark = element?.querySelector('mark')
    if (element && mark) element.scrollTop = mark.offsetTop - element.clientHeight / 3
  }, [bytes.data, marks])
  if (bytes.isError) return <ProblemNote problem={problemOf(bytes.error)} retry={() => void bytes.refetch()} small />
  if (bytes.data === undefined) return <Waiting what={file.path} />
  const lines = markLines(new TextDecoder().decode(bytes.data), marks)
  return (
    <div className="stage">
      <Scroller ref={scroller} className="stage-scroll text" label={label}>
        <ol className="lines">
          {lines.map(({ number, pieces }) => (
            <li key={number} className={pieces.some(({ marked }) => marked) ? 'lit' : undefined}>
              {pieces.map(({ text, marked }, at) =>
                // biome-ignore lint/suspicious/noArrayIndexKey: pieces of a line have no other name.
                marked ? <mark key={at}>{text}</mark> : <span key={at}>{text}</span>,
              )}
            </li>
          ))}
        </ol>
      </Scroller>
    </div>
  )
}
