import { useState } from 'react'
import type { PacketView } from '../../contract.ts'
import { useSeal } from '../api/changes.ts'
import { problemOf } from '../api/request.ts'
import { mayKeep, mayReview } from '../logic/rights.ts'
import { Dialog } from '../parts/dialog.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useWho } from '../parts/session-context.ts'
import { CheckAgain } from './check-again.tsx'
import { HoldForm } from './hold-form.tsx'

/** Checks it again, holds it, seals it. */
export function PacketActs({ packet }: { packet: PacketView }) {
  const who = useWho()
  const { accession } = packet.row
  const [open, setOpen] = useState<'check' | 'hold' | null>(null)
  const seal = useSeal(accession)
  const close = () => setOpen(null)
  return (
    <div className="acts">
      {mayReview(who) ? (
        <button type="button" onClick={() => setOpen('check')}>
          Check again …
        </button>
      ) : null}
      {mayKeep(who) ? (
        <button type="button" onClick={() => setOpen('hold')}>
          Hold …
        </button>
      ) : null}
      {mayKeep(who) && who.seals ? (
        <button type="button" disabled={seal.isPending || packet.report === null} onClick={() => seal.mutate()}>
          {seal.isPending ? 'Being sealed …' : 'Seal'}
        </button>
      ) : null}
      {seal.isSuccess ? <p role="status">It is sealed: see its custody.</p> : null}
      {seal.isError ? <ProblemNote problem={problemOf(seal.error)} retry={() => seal.mutate()} small /> : null}
      {open === 'check' ? (
        <Dialog title="Check it again" close={close}>
          <CheckAgain accession={accession} now={packet.report?.rulebook.name ?? null} done={close} />
        </Dialog>
      ) : null}
      {open === 'hold' ? (
        <Dialog title="Hold" close={close}>
          <HoldForm packet={packet} done={close} />
        </Dialog>
      ) : null}
    </div>
  )
}
