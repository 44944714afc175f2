import type { Report } from '../../../index.ts'
import type { PacketAddress } from '../logic/packet-address.ts'
import { Choice } from '../parts/form-parts.tsx'

interface Props {
  report: Report
  address: PacketAddress
  go: (change: Partial<PacketAddress>) => void
  help: () => void
}

/** Which findings are listed: those of a group of checks, or those that expose a party. */
export function FindingsFilters({ report, address: { group, party }, go, help }: Props) {
  const groups = [...new Set(report.findings.map((finding) => finding.group))]
  return (
    <div className="findings-filters">
      <Choice
        label="About"
        value={group ?? ''}
        choices={[{ value: '', words: 'everything' }, ...groups.map((value) => ({ value, words: value }))]}
        change={(value) => go({ group: value || null, finding: null })}
      />
      <Choice
        label="Exposed"
        value={party ?? ''}
        choices={[
          { value: '', words: 'anybody' },
          ...report.exposure.map(({ party: value, fail, warn }) => ({ value, words: `${value} (${fail + warn})` })),
        ]}
        change={(value) => go({ party: value || null, finding: null })}
      />
      <button type="button" onClick={help} aria-label="What the keys do" title="What the keys do">
        ?
      </button>
    </div>
  )
}
