import { Link } from 'wouter'
import type { PacketView } from '../../contract.ts'
import { type PacketPart, writePacketAddress } from '../logic/packet-address.ts'

/** What there is to see of a packet, a link each; those with nothing in them are left out. */
export function PartsNav({ packet, part }: { packet: PacketView; part: PacketPart }) {
  const { row, view, report, files, notes, custody } = packet
  const hasDrive =
    files.some(({ track }) => track) || (report?.documents ?? []).some(({ calibrations }) => calibrations)
  const asked = view?.actions.reduce((sum, { items }) => sum + items.length, 0) ?? 0
  const parts: [PacketPart, string, boolean][] = [
    ['findings', 'Findings', true],
    ['settle', `What would settle it (${asked})`, asked > 0 || view?.exposure !== null],
    ['events', 'Events and codes', view !== null && (view.timeline !== null || view.codes !== null)],
    ['drive', 'Drives and calibrations', hasDrive],
    ['files', `Files (${files.length})`, true],
    ['custody', `Custody and notes (${notes.length + custody.length})`, true],
  ]
  return (
    <nav className="parts" aria-label="Parts of this packet">
      {parts
        .filter(([own, , isThere]) => isThere || own === part)
        .map(([own, words]) => (
          <Link
            key={own}
            href={`/packets/${encodeURIComponent(row.accession)}${writePacketAddress({ part: own })}`}
            aria-current={own === part ? 'page' : undefined}
          >
            {words}
          </Link>
        ))}
    </nav>
  )
}
