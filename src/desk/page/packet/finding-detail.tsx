import { useMemo } from 'react'
import type { Finding, ReportView } from '../../../index.ts'
import type { PacketView } from '../../contract.ts'
import { gatherLooks } from '../logic/looks.ts'
import { FieldList } from '../parts/field-list.tsx'
import { Verdict } from '../parts/verdict.tsx'
import { EvidenceBoard } from '../viewer/evidence-board.tsx'
import { Decisions } from './decisions.tsx'

type FindingView = ReportView['findings'][number]['groups'][number]['findings'][number]

/** One finding: its sentence, the words on the pages that show it, what it means, and what was decided. */
export function FindingDetail({ packet, number }: { packet: PacketView; number: number }) {
  const finding = packet.report?.findings[number - 1]
  const looks = useMemo(() => (finding === undefined ? [] : gatherLooks(finding)), [finding])
  const view = findView(packet.view, number)
  if (finding === undefined) return null
  const fields = view?.fields ?? describeQuiet(finding)
  return (
    <article className={`finding-detail ${finding.verdict}`} aria-labelledby="finding-reason">
      <header>
        <p>
          <Verdict verdict={finding.verdict} /> <span className="quiet">no. {number}</span>
        </p>
        <h2 id="finding-reason">{finding.reason}</h2>
      </header>
      {view?.contrasts.map(({ what, sides: [one, other] }) => (
        <div key={`${what} ${one.text}`} className="beside">
          <p className="quiet">{what}</p>
          {[one, other].map(({ label, text }) => (
            <p key={label}>
              <span className="quiet">{label}</span> <strong>{text}</strong>
            </p>
          ))}
        </div>
      ))}
      {looks.length === 0 ? (
        <p className="quiet">
          No place in the files is named: it is about what the packet does not hold, or about all of it.
        </p>
      ) : (
        <EvidenceBoard accession={packet.row.accession} looks={looks} files={packet.files} />
      )}
      <FieldList fields={fields.filter(({ label }) => label !== 'Read in' && label !== 'How')} />
      {view?.fields
        .filter(({ label }) => label === 'How')
        .map(({ label, lines }) => (
          <details key={label}>
            <summary>How the values were come by ({lines.length} steps)</summary>
            <ol className="plain">
              {lines.map((line) => (
                <li key={line}>{line}</li>
              ))}
            </ol>
          </details>
        ))}
      <Decisions packet={packet} findingKey={packet.findingKeys[number - 1] ?? ''} />
    </article>
  )
}

const findView = (view: ReportView | null, number: number): FindingView | undefined =>
  view?.findings
    .flatMap(({ groups }) => groups.flatMap(({ findings }) => findings))
    .find((finding) => finding.number === number)

/** Of what holds or could not be checked, which the report in words tells in short. */
const describeQuiet = ({ claim, basis, remedy, check }: Finding) => [
  { label: 'Claim', lines: [claim] },
  { label: 'Rule', lines: [basis] },
  ...(remedy === undefined ? [] : [{ label: 'To settle', lines: [remedy] }]),
  { label: 'Check', lines: [check] },
]
