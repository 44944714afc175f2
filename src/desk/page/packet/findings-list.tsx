import { useMemo } from 'react'
import type { PacketView } from '../../contract.ts'
import type { FilteredFindings, NumberedFinding } from '../logic/findings-filter.ts'
import { Verdict } from '../parts/verdict.tsx'

interface Props {
  packet: PacketView
  filtered: FilteredFindings
  chosen: number | null
  choose: (number: number) => void
}

/** Failing and warning findings in full; what could not be checked and what holds, folded. */
export function FindingsList({ packet, filtered: { open, notChecked, pass }, chosen, choose }: Props) {
  const questions = useMemo(() => readQuestions(packet), [packet])
  const decided = useMemo(() => new Map(packet.decisions.map(({ finding, ruling }) => [finding, ruling])), [packet])
  const isIn = (list: readonly NumberedFinding[]) => list.some(({ number }) => number === chosen)
  // One stop for Tab; arrows do the rest.
  const stop = chosen ?? [...open, ...notChecked, ...pass][0]?.number ?? null
  const line = (one: NumberedFinding, question?: string | null) => (
    <li key={one.number}>
      {question ? <h3>{question}</h3> : null}
      <button
        type="button"
        className={`finding-line ${one.finding.verdict}`}
        data-finding={one.number}
        aria-current={one.number === chosen ? 'true' : undefined}
        tabIndex={one.number === stop ? 0 : -1}
        onClick={() => choose(one.number)}
      >
        <Verdict verdict={one.finding.verdict} />
        <span className="finding-reason">{one.finding.reason}</span>
        <Ruling ruling={decided.get(packet.findingKeys[one.number - 1] ?? '')} />
      </button>
    </li>
  )
  return (
    <>
      {open.length === 0 ? null : (
        <ol className="finding-lines">
          {open.map((one, at) => {
            const question = questions.get(one.finding.group) ?? null
            const before = open[at - 1]?.finding
            const isNew = before?.group !== one.finding.group || before.verdict !== one.finding.verdict
            return line(one, isNew ? question : null)
          })}
        </ol>
      )}
      {[
        { words: 'Not checked: the packet holds too little to say, or it does not apply', list: notChecked },
        { words: 'What holds', list: pass },
      ].map(({ words, list }) =>
        list.length === 0 ? null : (
          <details key={words} open={isIn(list) || undefined}>
            <summary>
              {words} ({list.length})
            </summary>
            <ol className="finding-lines">{list.map((one) => line(one))}</ol>
          </details>
        ),
      )}
    </>
  )
}

function Ruling({ ruling }: { ruling: string | undefined }) {
  return ruling === undefined ? null : <span className="ruling">{ruling}</span>
}

/** What the checks of each group ask, as the report in words has it. */
function readQuestions({ view, report }: PacketView): Map<string, string> {
  const asked = view?.findings.flatMap(({ groups }) => groups) ?? []
  return new Map(
    asked.flatMap(({ question, findings: [first] }) => {
      const group = report?.findings[(first?.number ?? 0) - 1]?.group
      return group === undefined ? [] : [[group, question] as const]
    }),
  )
}
