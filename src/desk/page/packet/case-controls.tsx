import { type QueueRow, type State, states } from '../../contract.ts'
import { useCaseChange } from '../api/changes.ts'
import { problemOf } from '../api/request.ts'
import { mayReview } from '../logic/rights.ts'
import { Choice } from '../parts/form-parts.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { useWho } from '../parts/session-context.ts'
import { stateWords } from '../queue/state-words.ts'
import { AssignTo } from './assign-to.tsx'

/** How work on the packet stands, and who looks after it. */
export function CaseControls({ row: { accession, state, assigned } }: { row: QueueRow }) {
  const who = useWho()
  const change = useCaseChange(accession)
  if (!mayReview(who))
    return (
      <p>
        {stateWords[state]}, looked after by {assigned ?? 'nobody yet'}
      </p>
    )
  return (
    <div className="case-controls">
      <Choice
        label="State"
        value={state}
        disabled={change.isPending}
        choices={states.map((value) => ({ value, words: stateWords[value] }))}
        change={(value: State) => change.mutate({ state: value })}
      />
      <AssignTo assigned={assigned} isPending={change.isPending} assign={(name) => change.mutate({ assigned: name })} />
      {change.isError ? <ProblemNote problem={problemOf(change.error)} small /> : null}
    </div>
  )
}
