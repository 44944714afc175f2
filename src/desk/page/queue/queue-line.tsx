import { Link } from 'wouter'
import type { QueueRow } from '../../contract.ts'
import { count } from '../logic/amounts.ts'
import { Moment } from '../parts/moment.tsx'
import { CountsLine, Verdict } from '../parts/verdict.tsx'
import { stateWords } from './state-words.ts'

/** One packet of the queue. */
export function QueueLine({ row }: { row: QueueRow }) {
  const { accession, name, verdict, counts, worst, vin, vehicle, shop, job, claim, state, assigned } = row
  return (
    <tr className={verdict ?? 'not-checked'}>
      <td className="of-verdict">
        <Verdict verdict={verdict} />
        {counts === null ? null : <CountsLine counts={counts} short />}
      </td>
      <th scope="row">
        <Link href={`/packets/${encodeURIComponent(accession)}`} className="packet-link">
          {name}
        </Link>
        <span className="below">
          {accession} · {count(row.files, 'file')}
        </span>
        {row.followedBy === null ? null : <span className="below">handed in again as {row.followedBy}</span>}
      </th>
      <td className="worst">{worst === null ? null : <span className="clamp">{worst}</span>}</td>
      <td>
        {vehicle}
        {vin === null ? null : <span className="below vin">{vin}</span>}
      </td>
      <td>
        {shop}
        {job === null ? null : <span className="below">{job}</span>}
        {claim === null ? null : <span className="below">claim {claim}</span>}
      </td>
      <td className="state">
        {stateWords[state]}
        {row.holds.length === 0 ? null : (
          <span className="below held">
            <span aria-hidden="true">■ </span>
            {row.holds.length === 1 ? 'held' : `held (${row.holds.length})`}
          </span>
        )}
      </td>
      <td>
        {assigned ?? <span className="quiet">nobody</span>}
        {row.notes === 0 ? null : <span className="below">{count(row.notes, 'note')}</span>}
        {row.decisions === 0 ? null : <span className="below">{count(row.decisions, 'decision')}</span>}
      </td>
      <td className="received">
        <Moment at={row.receivedAt} />
      </td>
    </tr>
  )
}
