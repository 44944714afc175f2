import { useState } from 'react'
import type { MadeSeal, PacketView } from '../../contract.ts'
import { useSeal } from '../api/changes.ts'
import { ActForm, TextField } from '../parts/form-parts.tsx'
import { useWho } from '../parts/session-context.ts'

interface Props {
  packet: PacketView
  done: (made: MadeSeal) => void
}

/** Seals a packet with its last report, once whoever does it has read what that says. */
export function SealForm({ packet: { row, view }, done }: Props) {
  const { sealer } = useWho()
  const seal = useSeal(row.accession)
  const [why, setWhy] = useState('')
  const reason = why.trim()
  return (
    <ActForm
      words="Seal it"
      isPending={seal.isPending}
      error={seal.error}
      submit={() => seal.mutate(reason === '' ? {} : { why: reason }, { onSuccess: done })}
    >
      <p>
        Its files as they were received, its last report ({view?.word}) and the rulebook it was weighed by are signed as{' '}
        <strong>{sealer}</strong>. Whoever changes any of them later breaks the seal. It is kept beside the packet, and
        the custody log says that you had it made.
      </p>
      <TextField label="Reason" value={why} change={setWhy} rows={2} />
    </ActForm>
  )
}
