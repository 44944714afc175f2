import type { QueuePage, QueueQuery, State } from '../../contract.ts'
import { stateWords } from './state-words.ts'

interface Props {
  page: Pick<QueuePage, 'tallies'>
  query: QueueQuery
  change: (query: QueueQuery) => void
}

const verdicts = [
  ['fail', '✕ fail'],
  ['warn', '▲ warn'],
  ['pass', '✓ pass'],
  ['none', '– not yet checked'],
] as const

/** How many there are of each kind; each is a filter to be set and taken away. */
export function Tallies({ page: { tallies }, query, change }: Props) {
  const tally = (key: string, number: number, words: string, isOn: boolean, next: QueueQuery, tone = '') => (
    <li key={key}>
      <button type="button" aria-pressed={isOn} className={`tally ${tone}`} onClick={() => change(next)}>
        <strong>{number}</strong> {words}
      </button>
    </li>
  )
  const turn = <Key extends keyof QueueQuery>(key: Key, value: QueueQuery[Key]): QueueQuery => ({
    ...query,
    [key]: query[key] === value ? undefined : value,
  })
  return (
    <ul className="tallies" aria-label="How many packets there are">
      {verdicts.map(([verdict, words]) =>
        tally(verdict, tallies.verdict[verdict], words, query.verdict === verdict, turn('verdict', verdict), verdict),
      )}
      {(Object.keys(stateWords) as State[]).map((state) =>
        tally(state, tallies.state[state], stateWords[state], query.state === state, turn('state', state)),
      )}
      {tally('held', tallies.held, 'held', query.held === true, turn('held', true))}
    </ul>
  )
}
