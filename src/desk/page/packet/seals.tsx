import type { ExaminedSeal, PacketView } from '../../contract.ts'
import { useSeals } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { Moment } from '../parts/moment.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Verdict } from '../parts/verdict.tsx'
import { Waiting } from '../parts/waiting.tsx'

/** Every seal of the packet, examined now: what each part is, whether it holds, and why. */
export function Seals({ packet: { seals: made, row } }: { packet: PacketView }) {
  const seals = useSeals(row.accession, made.at(-1)?.entry ?? null)
  const found = seals.data?.seals ?? []
  return (
    <section className="seals" aria-label="Seals">
      <h2>Seals{seals.data === undefined ? '' : ` (${found.length})`}</h2>
      {seals.isError ? <ProblemNote problem={problemOf(seals.error)} retry={() => void seals.refetch()} small /> : null}
      {seals.isPending ? <Waiting what="its seals: every file is read" /> : null}
      {seals.data !== undefined && found.length === 0 ? <p className="quiet">It was not sealed yet.</p> : null}
      {found.map((seal) => (
        <Seal key={seal.entry ?? 'own'} seal={seal} />
      ))}
      {seals.data === undefined || found.length === 0 ? null : (
        <p className="quiet">
          Examined <Moment at={seals.data.examined} />. Whom to trust is what the desk was started with.
        </p>
      )}
    </section>
  )
}

function Seal({ seal: { entry, at, signer, verdict, meaning, parts } }: { seal: ExaminedSeal }) {
  return (
    <article className={`change ${verdict}`}>
      <h3>
        <Verdict verdict={verdict} />{' '}
        {entry === null ? 'The bag it was handed over in' : `Sealed by ${signer ?? 'whoever handed it over'}`}
      </h3>
      <p>{meaning}</p>
      <p className="quiet">
        <Moment at={at} />
        {entry === null ? '' : `, custody log, entry ${entry}`}
      </p>
      <dl className="seal-parts">
        {parts.map(({ name, asks, verdict: own, state, text, faults, moreFaults }) => (
          <div key={name}>
            <dt>
              <Verdict verdict={own} /> {name}
              {state === 'absent' ? ' (absent)' : ''}
            </dt>
            <dd>
              <p className="quiet">{asks}</p>
              <p>{text}</p>
              {faults.length === 0 ? null : (
                <ul className="plain">
                  {faults.map((fault) => (
                    <li key={fault}>{fault}</li>
                  ))}
                  {moreFaults > 0 ? <li>and {moreFaults} more</li> : null}
                </ul>
              )}
            </dd>
          </div>
        ))}
      </dl>
    </article>
  )
}
