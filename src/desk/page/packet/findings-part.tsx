import { useCallback, useEffect, useRef, useState } from 'react'
import { useLocation } from 'wouter'
import type { PacketView } from '../../contract.ts'
import { filterFindings, stepNumber } from '../logic/findings-filter.ts'
import type { KeyAct } from '../logic/keys.ts'
import { type PacketAddress, writePacketAddress } from '../logic/packet-address.ts'
import { FindingDetail } from './finding-detail.tsx'
import { FindingsFilters } from './findings-filters.tsx'
import { FindingsList } from './findings-list.tsx'
import { KeysHelp } from './keys-help.tsx'
import { useKeys } from './use-keys.ts'

/** As in packet.css. */
const oneColumn = '(max-width: 52rem)'

/** Findings, worst first, and beside them the evidence of the one that is chosen. */
export function FindingsPart({ packet, address }: { packet: PacketView; address: PacketAddress }) {
  const { report, row } = packet
  const [, navigate] = useLocation()
  const [isHelp, setHelp] = useState(false)
  const list = useRef<HTMLDivElement>(null)
  const detail = useRef<HTMLDivElement>(null)
  const filtered = filterFindings(report?.findings ?? [], address)
  const open = filtered.open.map(({ number }) => number)
  const all = [...filtered.open, ...filtered.notChecked, ...filtered.pass].map(({ number }) => number)
  const chosen = address.finding !== null && all.includes(address.finding) ? address.finding : (open[0] ?? null)
  const go = useCallback(
    (change: Partial<PacketAddress>) => {
      const path = `/packets/${encodeURIComponent(row.accession)}${writePacketAddress({ ...address, ...change })}`
      navigate(path, { replace: true })
    },
    [address, navigate, row.accession],
  )
  const choose = (finding: number) => {
    go({ finding })
    // On a phone the evidence is beneath the list, out of sight.
    if (window.matchMedia(oneColumn).matches) detail.current?.scrollIntoView()
  }
  const act = (name: KeyAct) => {
    if (name === 'next-finding' || name === 'previous-finding') {
      const next = stepNumber(
        chosen !== null && open.includes(chosen) ? open : all,
        chosen,
        name === 'next-finding' ? 1 : -1,
      )
      if (next === null) return
      go({ finding: next })
      list.current?.querySelector<HTMLElement>(`[data-finding="${next}"]`)?.focus()
    }
    const places = [...(detail.current?.querySelectorAll<HTMLElement>('.stage-scroll[tabindex]') ?? [])]
    const at = places.findIndex((place) => place.contains(document.activeElement))
    if (name === 'to-evidence') (places[0] ?? detail.current)?.focus()
    if (name === 'next-place') places[Math.min(places.length - 1, at + 1)]?.focus()
    if (name === 'previous-place') places[Math.max(0, at - 1)]?.focus()
    if (name === 'to-findings') list.current?.querySelector<HTMLElement>('[aria-current="true"]')?.focus()
    if (name === 'help') setHelp(true)
  }
  useKeys(act, list)
  useEffect(() => {
    // An address that names a finding far down the list shows where it stands.
    const side = list.current
    const line = side?.querySelector<HTMLElement>('[aria-current="true"]')
    if (side && line) side.scrollTop = line.offsetTop - side.clientHeight / 3
  }, [])
  if (report === null) return <p>This packet was not checked yet, so there are no findings.</p>
  return (
    <div className="findings">
      <section className="findings-side" aria-label="Findings" ref={list}>
        <h2 className="hidden">Findings</h2>
        <FindingsFilters report={report} address={address} go={go} help={() => setHelp(true)} />
        <FindingsList packet={packet} filtered={filtered} chosen={chosen} choose={choose} />
      </section>
      <section className="findings-detail" aria-label="The chosen finding and its evidence" ref={detail} tabIndex={-1}>
        {chosen === null ? (
          <p className="nothing-wrong">
            {open.length === 0 && address.group === null && address.party === null
              ? 'Nothing was found that contradicts the work or is missing. Choose a finding to see what it rests on.'
              : 'No finding fits. Take a filter away.'}
          </p>
        ) : (
          <FindingDetail key={chosen} packet={packet} number={chosen} />
        )}
      </section>
      {isHelp ? <KeysHelp close={() => setHelp(false)} /> : null}
    </div>
  )
}
