import { useState } from 'react'
import { Link } from 'wouter'
import type { MadeSeal, PacketView } from '../../contract.ts'
import { writePacketAddress } from '../logic/packet-address.ts'
import { mayKeep, mayReview } from '../logic/rights.ts'
import { Dialog } from '../parts/dialog.tsx'
import { useWho } from '../parts/session-context.ts'
import { CheckAgain } from './check-again.tsx'
import { HoldForm } from './hold-form.tsx'
import { SealForm } from './seal-form.tsx'

/** Checks it again, holds it, seals it. */
export function PacketActs({ packet }: { packet: PacketView }) {
  const who = useWho()
  const { accession } = packet.row
  const [open, setOpen] = useState<'check' | 'hold' | 'seal' | null>(null)
  const [made, setMade] = useState<MadeSeal | null>(null)
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
        <button type="button" disabled={packet.report === null} onClick={() => setOpen('seal')}>
          Seal …
        </button>
      ) : null}
      {made === null ? null : (
        <p role="status">
          {made.again ? 'It is sealed already' : 'It is sealed'}, by{' '}
          <Link href={`/packets/${encodeURIComponent(accession)}${writePacketAddress({ part: 'custody' })}`}>
            entry {made.entry} of the custody log
          </Link>
          {made.unstamped === null ? '.' : `, without a time stamp: ${made.unstamped}.`}
        </p>
      )}
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
      {open === 'seal' ? (
        <Dialog title="Seal" close={close}>
          <SealForm
            packet={packet}
            done={(found) => {
              setMade(found)
              close()
            }}
          />
        </Dialog>
      ) : null}
    </div>
  )
}
