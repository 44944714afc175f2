import { useLocation, useSearch } from 'wouter'
import type { QueueQuery } from '../../contract.ts'
import { useQueue } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { count } from '../logic/amounts.ts'
import { isNarrowed, readQueueAddress, writeQueueAddress } from '../logic/queue-address.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useTitle } from '../parts/use-title.ts'
import { Waiting } from '../parts/waiting.tsx'
import { UploadPanel } from '../upload/upload-panel.tsx'
import { QueueFilters } from './queue-filters.tsx'
import { QueueTable } from './queue-table.tsx'
import { Tallies } from './tallies.tsx'

/** All packets that the desk knows, narrowed and sorted as the address says. */
export function QueuePage() {
  const search = useSearch()
  const [, navigate] = useLocation()
  const query = readQueueAddress(search)
  const queue = useQueue(query)
  useTitle('Queue – Desk')
  const change = (next: QueueQuery) => navigate(`/${writeQueueAddress(next)}`, { replace: true })
  const [first] = queue.data?.pages ?? []
  const rows = queue.data?.pages.flatMap((page) => page.rows) ?? []
  return (
    <div className="queue">
      <div className="queue-head">
        <h1>Queue</h1>
        {first === undefined ? null : <Tallies page={first} query={query} change={change} />}
      </div>
      <UploadPanel />
      <QueueFilters query={query} shops={first?.shops ?? []} assigned={first?.assigned ?? []} change={change} />
      {queue.isError ? <ProblemNote problem={problemOf(queue.error)} retry={() => void queue.refetch()} /> : null}
      {queue.isPending ? <Waiting what="the queue" /> : null}
      {first === undefined ? null : (
        <>
          <p className="quiet" role="status">
            {first.total === 0 ? <Nothing query={query} /> : `${rows.length} of ${count(first.total, 'packet')}`}
          </p>
          {rows.length === 0 ? null : <QueueTable rows={rows} query={query} change={change} />}
          {queue.hasNextPage ? (
            <button type="button" disabled={queue.isFetchingNextPage} onClick={() => void queue.fetchNextPage()}>
              {queue.isFetchingNextPage ? 'Asking for more …' : 'Show more'}
            </button>
          ) : null}
        </>
      )}
    </div>
  )
}

function Nothing({ query }: { query: QueueQuery }) {
  return isNarrowed(query)
    ? 'No packet fits. Take a filter away.'
    : 'No packet is here yet. Drop a folder or a zip with what was saved about one job anywhere on this page.'
}
