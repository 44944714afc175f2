import { useRef } from 'react'
import type { QueueOrder, QueueQuery, QueueRow } from '../../contract.ts'
import { orderOf, turnOrder } from '../logic/queue-address.ts'
import { QueueLine } from './queue-line.tsx'

interface Props {
  rows: readonly QueueRow[]
  query: QueueQuery
  change: (query: QueueQuery) => void
}

const columns: readonly { words: string; order?: QueueOrder; name: string }[] = [
  { words: 'Verdict', order: 'verdict', name: 'verdict' },
  { words: 'Packet', order: 'name', name: 'name' },
  { words: 'Worst finding', name: 'worst' },
  { words: 'Vehicle', name: 'vehicle' },
  { words: 'Shop, job, claim', order: 'shop', name: 'shop' },
  { words: 'State', order: 'state', name: 'state' },
  { words: 'Looked after by', order: 'assigned', name: 'assigned' },
  { words: 'Received', order: 'received', name: 'received' },
]

/** The queue as a table: a row a packet, headings that sort. The keys j and k go from row to row. */
export function QueueTable({ rows, query, change }: Props) {
  const { order, down } = orderOf(query)
  const body = useRef<HTMLTableSectionElement>(null)
  const step = (event: React.KeyboardEvent) => {
    const direction = { j: 1, ArrowDown: 1, k: -1, ArrowUp: -1 }[event.key]
    if (direction === undefined || event.ctrlKey || event.metaKey || event.altKey) return
    const links = [...(body.current?.querySelectorAll<HTMLAnchorElement>('a.packet-link') ?? [])]
    const at = links.indexOf(document.activeElement as HTMLAnchorElement)
    const next = links[at === -1 ? 0 : at + direction]
    if (next === undefined) return
    event.preventDefault()
    next.focus()
  }
  return (
    <table className="queue-table">
      <thead>
        <tr>
          {columns.map(({ words, order: own, name }) => (
            <th key={name} scope="col" aria-sort={own !== order ? undefined : down ? 'descending' : 'ascending'}>
              {own === undefined ? (
                words
              ) : (
                <button type="button" className="sort" onClick={() => change(turnOrder(query, own))}>
                  {words}
                  <span aria-hidden="true">{own !== order ? '' : down ? ' ↓' : ' ↑'}</span>
                </button>
              )}
            </th>
          ))}
        </tr>
      </thead>
      <tbody ref={body} onKeyDown={step}>
        {rows.map((row) => (
          <QueueLine key={row.accession} row={row} />
        ))}
      </tbody>
    </table>
  )
}
