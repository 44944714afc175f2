import { useState } from 'react'
import type { PacketView } from '../../contract.ts'
import { useLiftHold, useNewHold } from '../api/changes.ts'
import { ActForm, TextField } from '../parts/form-parts.tsx'

/** Holds a packet for a matter, with the other submissions of its job if wanted. */
export function HoldForm({ packet: { row, chain }, done }: { packet: PacketView; done: () => void }) {
  const hold = useNewHold(row.accession)
  const [matter, setMatter] = useState('')
  const [why, setWhy] = useState('')
  const [authority, setAuthority] = useState('')
  const [isAll, setAll] = useState(chain.length > 1)
  const accessions = isAll && chain.length > 1 ? chain.map(({ accession }) => accession) : [row.accession]
  return (
    <ActForm
      words="Hold it"
      isPending={hold.isPending}
      error={hold.error}
      submit={() => hold.mutate({ matter, why, authority, accessions }, { onSuccess: done })}
    >
      <p>While a hold is in force nothing of the packet is destroyed. Who placed it, and why, is logged for good.</p>
      <TextField label="Matter" value={matter} change={setMatter} required />
      <TextField label="Reason" value={why} change={setWhy} required rows={2} />
      <TextField label="By whose authority" value={authority} change={setAuthority} required />
      {chain.length > 1 ? (
        <label className="tick">
          <input type="checkbox" checked={isAll} onChange={({ target }) => setAll(target.checked)} />
          All {chain.length} submissions of this job
        </label>
      ) : null}
    </ActForm>
  )
}

/** Lifts one. */
export function LiftHoldForm({ accession, hold, done }: { accession: string; hold: string; done: () => void }) {
  const lift = useLiftHold(accession)
  const [why, setWhy] = useState('')
  const [authority, setAuthority] = useState('')
  return (
    <ActForm
      words="Lift it"
      isPending={lift.isPending}
      error={lift.error}
      submit={() => lift.mutate({ hold, why, authority }, { onSuccess: done })}
    >
      <p>Packets that another hold is in force for stay held.</p>
      <TextField label="Reason" value={why} change={setWhy} required rows={2} />
      <TextField label="By whose authority" value={authority} change={setAuthority} required />
    </ActForm>
  )
}
