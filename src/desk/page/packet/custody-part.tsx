import { useState } from 'react'
import type { PacketView } from '../../contract.ts'
import { useNewNote } from '../api/changes.ts'
import { mayKeep } from '../logic/rights.ts'
import { Dialog } from '../parts/dialog.tsx'
import { ActForm, TextField } from '../parts/form-parts.tsx'
import { Moment } from '../parts/moment.tsx'
import { useWho } from '../parts/session-context.ts'
import { LiftHoldForm } from './hold-form.tsx'
import { Seals } from './seals.tsx'

/** Notes, decisions, holds, seals, and the whole custody of the packet. */
export function CustodyPart({ packet }: { packet: PacketView }) {
  return (
    <div className="part pair">
      <div>
        <Notes packet={packet} />
        <AllDecisions packet={packet} />
        <Holds packet={packet} />
        <Seals packet={packet} />
      </div>
      <Custody packet={packet} />
    </div>
  )
}

function Notes({ packet: { notes, row } }: { packet: PacketView }) {
  const add = useNewNote(row.accession)
  const [text, setText] = useState('')
  return (
    <section>
      <h2>Notes ({notes.length})</h2>
      <ul className="notes">
        {notes.map(({ note, at, by, text: said }) => (
          <li key={note}>
            <p className="quiet">
              {by}, <Moment at={at} />
            </p>
            <p className="note-text">{said}</p>
          </li>
        ))}
      </ul>
      <ActForm
        words="Add the note"
        isPending={add.isPending}
        error={add.error}
        submit={() => add.mutate({ text }, { onSuccess: () => setText('') })}
      >
        <TextField label="A note for who works here" value={text} change={setText} rows={3} required />
      </ActForm>
    </section>
  )
}

function AllDecisions({ packet: { decisions } }: { packet: PacketView }) {
  if (decisions.length === 0) return null
  return (
    <section>
      <h2>Decisions on findings ({decisions.length})</h2>
      <p className="quiet">They are written in the custody log. No finding was changed by them.</p>
      <ul className="plain">
        {decisions.map(({ entry, at, by, ruling, why, check, current }) => (
          <li key={entry}>
            {check}: <strong>{ruling}</strong> by {by}, <Moment at={at} />: {why}
            {current ? '' : ' (the last report does not find this any more)'}
          </li>
        ))}
      </ul>
    </section>
  )
}

function Holds({ packet: { holds, row } }: { packet: PacketView }) {
  const who = useWho()
  const [lifting, setLifting] = useState<string | null>(null)
  const close = () => setLifting(null)
  return (
    <section>
      <h2>Holds ({holds.length})</h2>
      {holds.length === 0 ? <p className="quiet">Nothing holds it.</p> : null}
      <ul className="notes">
        {holds.map(({ hold, matter, by, placedAt, why, authority }) => (
          <li key={hold}>
            <p>
              <strong>{matter}</strong> <span className="quiet">{hold}</span>
            </p>
            <p>
              {why}; by authority of {authority}
            </p>
            <p className="quiet">
              placed by {by}, <Moment at={placedAt} />
            </p>
            {mayKeep(who) ? (
              <button type="button" onClick={() => setLifting(hold)}>
                Lift …
              </button>
            ) : null}
          </li>
        ))}
      </ul>
      {lifting === null ? null : (
        <Dialog title="Lift a hold" close={close}>
          <LiftHoldForm accession={row.accession} hold={lifting} done={close} />
        </Dialog>
      )}
    </section>
  )
}

/** Times as the log has them, in UTC. */
function Custody({ packet: { custody } }: { packet: PacketView }) {
  return (
    <section>
      <h2>Custody ({custody.length})</h2>
      <p className="quiet">What was done with the packet, as the custody log has it. Times are UTC.</p>
      <ol className="custody">
        {[...custody].reverse().map(({ entry, at, by, text, why, authority }) => (
          <li key={entry}>
            <span className="quiet">
              {entry} · <time dateTime={at}>{at.replace('T', ' ').replace('Z', '')}</time> · {by}
            </span>
            <p>{text}</p>
            {why === null ? null : <p className="quiet">why: {why}</p>}
            {authority === null ? null : <p className="quiet">by authority of: {authority}</p>}
          </li>
        ))}
      </ol>
    </section>
  )
}
