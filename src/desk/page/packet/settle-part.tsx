import { Link } from 'wouter'
import type { PacketView } from '../../contract.ts'
import { writePacketAddress } from '../logic/packet-address.ts'
import { Verdict } from '../parts/verdict.tsx'

/** What would settle the findings and who can supply it; who is exposed, and to what. */
export function SettlePart({ packet }: { packet: PacketView }) {
  const { view } = packet
  if (view === null) return null
  return (
    <div className="part">
      {view.actions.length === 0 ? <p>Nothing is to be asked for.</p> : null}
      <div className="pair">
        {view.actions.map(({ heading, items }) => (
          <section key={heading}>
            <h2>{heading}</h2>
            <ul className="list">
              {items.map(({ verdict, what, from, settles }) => (
                <li key={what}>
                  <Verdict verdict={verdict} />
                  <div>
                    <p>{what}</p>
                    <p className="quiet">
                      {from === '' ? '' : `${from}; `}settles <Checks packet={packet} checks={settles} />
                    </p>
                  </div>
                </li>
              ))}
            </ul>
          </section>
        ))}
      </div>
      {view.exposure === null ? null : (
        <section>
          <h2>{view.exposure.heading}</h2>
          <div className="pair">
            {view.exposure.parties.map(({ party, counts, to }) => (
              <div key={party}>
                <h3>
                  {party} <span className="quiet">{counts}</span>
                </h3>
                <ul className="list">
                  {to.map(({ verdict, what, checks }) => (
                    <li key={what}>
                      <Verdict verdict={verdict} />
                      <p>
                        {what}{' '}
                        <span className="quiet">
                          <Checks packet={packet} checks={checks} />
                        </span>
                      </p>
                    </li>
                  ))}
                </ul>
              </div>
            ))}
          </div>
        </section>
      )}
    </div>
  )
}

/** Names of checks, each leading to its first finding. */
function Checks({ packet: { row, report }, checks }: { packet: PacketView; checks: string }) {
  return checks.split(', ').map((check, at) => {
    const number = (report?.findings.findIndex((finding) => finding.check === check) ?? -1) + 1
    const comma = at === 0 ? '' : ', '
    if (number === 0) return `${comma}${check}`
    return (
      <span key={check}>
        {comma}
        <Link href={`/packets/${encodeURIComponent(row.accession)}${writePacketAddress({ finding: number })}`}>
          {check}
        </Link>
      </span>
    )
  })
}
