import { Link, useSearch } from 'wouter'
import { usePacket } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { readPacketAddress } from '../logic/packet-address.ts'
import { FaultBoundary } from '../parts/fault-boundary.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useTitle } from '../parts/use-title.ts'
import { Waiting } from '../parts/waiting.tsx'
import { CustodyPart } from './custody-part.tsx'
import { DrivePart } from './drive-part.tsx'
import { EventsPart } from './events-part.tsx'
import { FilesPart } from './files-part.tsx'
import { FindingsPart } from './findings-part.tsx'
import { JobNote } from './job-note.tsx'
import { PacketHead } from './packet-head.tsx'
import { PartsNav } from './parts-nav.tsx'
import { SettlePart } from './settle-part.tsx'

/** One packet: what is wrong, the words that show it, and all else that is known. */
export function PacketPage({ accession }: { accession: string }) {
  const packet = usePacket(accession)
  const address = readPacketAddress(useSearch())
  const { data } = packet
  useTitle(data === undefined ? `${accession} – Desk` : `${data.view?.word ?? ''} ${data.row.name} – Desk`.trim())
  if (packet.isPending) return <Waiting what={accession} />
  if (data === undefined)
    return (
      <div className="narrow">
        <h1>{accession}</h1>
        <ProblemNote problem={problemOf(packet.error)} retry={() => void packet.refetch()} />
        <p>
          <Link href="/">Go to the queue</Link>
        </p>
      </div>
    )
  const { part } = address
  return (
    <div className="packet">
      <PacketHead packet={data} />
      {packet.isError ? (
        <ProblemNote problem={problemOf(packet.error)} retry={() => void packet.refetch()} small />
      ) : null}
      <JobNote packet={data} />
      <PartsNav packet={data} part={part} />
      <FaultBoundary key={part}>
        {part === 'findings' ? <FindingsPart packet={data} address={address} /> : null}
        {part === 'settle' ? <SettlePart packet={data} /> : null}
        {part === 'events' ? <EventsPart packet={data} /> : null}
        {part === 'drive' ? <DrivePart packet={data} /> : null}
        {part === 'files' ? <FilesPart packet={data} address={address} /> : null}
        {part === 'custody' ? <CustodyPart packet={data} /> : null}
      </FaultBoundary>
      <Cautions lines={data.view?.cautions.lines ?? []} />
    </div>
  )
}

function Cautions({ lines }: { lines: readonly string[] }) {
  if (lines.length === 0) return null
  return (
    <section className="cautions" aria-label="Cautions">
      <h2>Cautions</h2>
      <ul className="plain">
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
    </section>
  )
}
