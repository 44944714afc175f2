import type { State } from '../../contract.ts'

/** What the states are called. */
export const stateWords: Record<State, string> = {
  new: 'new',
  'in-review': 'in review',
  asked: 'asked back',
  settled: 'settled',
}
