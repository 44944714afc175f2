import { useState } from 'react'
import { type PacketView, type Ruling, rulings } from '../../contract.ts'
import { useNewDecision } from '../api/changes.ts'
import { mayReview } from '../logic/rights.ts'
import { ActForm, TextField } from '../parts/form-parts.tsx'
import { Moment } from '../parts/moment.tsx'
import { useWho } from '../parts/session-context.ts'

const meanings: Record<Ruling, string> = {
  accepted: 'accepted: it stands, and is acted on',
  contested: 'contested: somebody says that it is wrong',
  settled: 'settled: something answers it',
}

/** What people decided about a finding, and a form to decide. */
export function Decisions({ packet, findingKey }: { packet: PacketView; findingKey: string }) {
  const own = packet.decisions.filter(({ finding }) => finding === findingKey)
  const who = useWho()
  return (
    <section className="decisions" aria-label="Decisions on this finding">
      <h3>Decisions</h3>
      {own.length === 0 ? <p className="quiet">Nobody decided on it yet.</p> : null}
      <ul className="plain">
        {own.map(({ entry, at, by, ruling, why }) => (
          <li key={entry}>
            <strong>{ruling}</strong> by {by}, <Moment at={at} />: {why}{' '}
            <span className="quiet">custody log, entry {entry}</span>
          </li>
        ))}
      </ul>
      {mayReview(who) && findingKey !== '' ? (
        <DecisionForm accession={packet.row.accession} finding={findingKey} />
      ) : null}
    </section>
  )
}

function DecisionForm({ accession, finding }: { accession: string; finding: string }) {
  const decide = useNewDecision(accession)
  const [ruling, setRuling] = useState<Ruling | null>(null)
  const [why, setWhy] = useState('')
  const begin = (value: Ruling) => (
    <label key={value} className="tick">
      <input type="radio" name="ruling" checked={ruling === value} onChange={() => setRuling(value)} />
      {meanings[value]}
    </label>
  )
  const submit = () => {
    if (ruling === null) return
    const clear = () => {
      setRuling(null)
      setWhy('')
    }
    decide.mutate({ finding, ruling, why }, { onSuccess: clear })
  }
  return (
    <details>
      <summary>Decide on it</summary>
      <p className="quiet">
        A decision is written into the custody log with your name and reason, for good. It never changes the finding or
        the verdict: both stay as they are.
      </p>
      <ActForm
        words="Write it into the log"
        isPending={decide.isPending || ruling === null}
        error={decide.error}
        submit={submit}
      >
        <fieldset>
          <legend>The finding is</legend>
          {rulings.map(begin)}
        </fieldset>
        <TextField label="Reason" value={why} change={setWhy} required rows={2} />
      </ActForm>
    </details>
  )
}
