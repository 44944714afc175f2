import { useMemo } from 'react'
import type { Box } from '../../../index.ts'
import type { WordsView } from '../../contract.ts'
import { useFileWords } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { fontUnits, sortWords, wordsBetween } from '../logic/lines.ts'
import { markBands } from '../logic/scale.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Waiting } from '../parts/waiting.tsx'
import type { PageProps } from './page-props.ts'
import { PageStage } from './page-stage.tsx'

/** The words of a page in their places: of files that have no pages of their own, all of it, with the marked rows lit. */
export function WordsPage({ accession, file, page: number, marks, label }: PageProps) {
  const words = useFileWords(accession, file.number)
  if (words.isError) return <ProblemNote problem={problemOf(words.error)} retry={() => void words.refetch()} small />
  if (words.isPending) return <Waiting what={`the words of ${file.path}`} />
  const page = words.data.pages.find((one) => one.page === number) ?? words.data.pages[0]
  if (page === undefined || page.words.length === 0) return <p className="quiet">No words were read on this page.</p>
  return <PlacedWords page={page} marks={marks} label={label} />
}

function PlacedWords({
  page,
  marks,
  label,
}: {
  page: WordsView['pages'][number]
  marks: readonly Box[]
  label: string
}) {
  const sorted = useMemo(() => sortWords(page.words), [page])
  const bands = useMemo(() => markBands(marks), [marks])
  const { width, height } = page
  return (
    <PageStage size={{ width, height }} unit="pt" marks={marks} label={label}>
      {({ scale, from, to }) => {
        const more = to - from
        return (
          <>
            {bands.map((band) => (
              <div
                key={band.from}
                className="band"
                style={{ top: (band.from - 2) * scale, height: (band.to - band.from + 4) * scale }}
              />
            ))}
            {wordsBetween(sorted, from - more, to + more).map((word) => {
              const [x0, y0, , y1] = word.box
              const style = {
                left: x0 * scale,
                top: y0 * scale,
                lineHeight: `${(y1 - y0) * scale}px`,
                fontSize: fontUnits(word) * scale,
              }
              return (
                <span key={`${x0} ${y0} ${word.text}`} className="word" style={style}>
                  {word.text}
                </span>
              )
            })}
          </>
        )
      }}
    </PageStage>
  )
}
