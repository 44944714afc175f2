import { Link } from 'wouter'
import type { PacketView } from '../../contract.ts'
import { bytesText, count } from '../logic/amounts.ts'
import { Moment } from '../parts/moment.tsx'
import { CountsLine, Verdict } from '../parts/verdict.tsx'
import { CaseControls } from './case-controls.tsx'
import { Exports } from './exports.tsx'
import { PacketActs } from './packet-acts.tsx'

/** The verdict, what it is about, and what can be done. */
export function PacketHead({ packet }: { packet: PacketView }) {
  const { row, view, report, holds } = packet
  return (
    <header className={`packet-head ${row.verdict ?? 'not-checked'}`}>
      <div className="head-verdict">
        <Verdict verdict={row.verdict} large />
        {report === null ? null : <CountsLine counts={report.counts} />}
      </div>
      <div className="head-about">
        <h1>{row.name}</h1>
        <p>{view?.meaning ?? 'This packet was not checked yet.'}</p>
        <p className="head-facts">
          {view === null ? null : <span>{view.head.vehicle}</span>}
          {row.shop === null ? null : <span>shop {row.shop}</span>}
          {row.job === null ? null : <span>job {row.job}</span>}
          {row.claim === null ? null : <span>claim {row.claim}</span>}
        </p>
        <p className="quiet head-facts">
          <span>{row.accession}</span>
          <span>
            received <Moment at={row.receivedAt} />
          </span>
          <span>
            {count(row.files, 'file')}, {bytesText(row.bytes)}
          </span>
          {view === null ? null : <span>reviewed {view.head.reviewed}</span>}
        </p>
        {holds.length === 0 ? null : (
          <p className="held">
            <span aria-hidden="true">■ </span>
            Held for {holds.map(({ matter }) => matter).join('; ')}: nothing of it may be destroyed.
          </p>
        )}
        <Chain packet={packet} />
      </div>
      <div className="head-acts">
        <CaseControls row={row} />
        <PacketActs packet={packet} />
        {report === null ? null : <Exports accession={row.accession} />}
      </div>
    </header>
  )
}

/** The submissions of the job, each to be held against the one before. */
function Chain({ packet: { chain, row } }: { packet: PacketView }) {
  if (chain.length < 2) return null
  return (
    <ol className="chain" aria-label="Submissions of this job, oldest first">
      {chain.map(({ accession, verdict }, at) => {
        const before = chain[at - 1]
        return (
          <li key={accession}>
            {before === undefined ? null : (
              <Link href={`/compare?${new URLSearchParams({ before: before.accession, after: accession })}`}>
                what changed
              </Link>
            )}
            {accession === row.accession ? (
              <strong>this one</strong>
            ) : (
              <Link href={`/packets/${encodeURIComponent(accession)}`}>{accession}</Link>
            )}
            <Verdict verdict={verdict} />
          </li>
        )
      })}
    </ol>
  )
}
