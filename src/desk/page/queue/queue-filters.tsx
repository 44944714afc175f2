import { useEffect, useState } from 'react'
import type { QueueQuery } from '../../contract.ts'
import { isNarrowed } from '../logic/queue-address.ts'
import { Choice } from '../parts/form-parts.tsx'
import { useWho } from '../parts/session-context.ts'

interface Props {
  query: QueueQuery
  shops: readonly string[]
  assigned: readonly string[]
  change: (query: QueueQuery) => void
}

const all = { value: '', words: 'all' } as const

/** What is looked for: words, and who has it. Verdict and state are the tallies above. */
export function QueueFilters({ query, shops, assigned, change }: Props) {
  const { name } = useWho()
  const people = [...new Set([name, ...assigned, ...(query.assigned === undefined ? [] : [query.assigned])])]
  return (
    <search className="filters">
      <WordsFilter words={query.words ?? ''} change={(words) => change({ ...query, words: words || undefined })} />
      <Choice
        label="Looked after by"
        value={query.assigned ?? ''}
        choices={[
          { value: '', words: 'anybody' },
          { value: 'nobody', words: 'nobody yet' },
          ...people
            .filter((one) => one !== 'nobody')
            .map((one) => ({ value: one, words: one === name ? `${one} (me)` : one })),
        ]}
        change={(value) => change({ ...query, assigned: value || undefined })}
      />
      {shops.length === 0 ? null : (
        <Choice
          label="Shop"
          value={query.shop ?? ''}
          choices={[all, ...shops.map((shop) => ({ value: shop, words: shop }))]}
          change={(value) => change({ ...query, shop: value || undefined })}
        />
      )}
      {isNarrowed(query) ? (
        <button type="button" onClick={() => change({ order: query.order, down: query.down })}>
          Take all filters away
        </button>
      ) : null}
    </search>
  )
}

/** Asks when typing rests, not at every letter. */
function WordsFilter({ words, change }: { words: string; change: (words: string) => void }) {
  const [typed, setTyped] = useState(words)
  useEffect(() => setTyped(words), [words])
  useEffect(() => {
    if (typed.trim() === words) return
    const timer = setTimeout(() => change(typed.trim()), 250)
    return () => clearTimeout(timer)
  }, [typed, words, change])
  return (
    <label className="words-filter">
      <span>Words</span>
      <input
        type="search"
        value={typed}
        placeholder="number, name, VIN, vehicle, job, claim, shop"
        onChange={({ target }) => setTyped(target.value)}
      />
    </label>
  )
}
