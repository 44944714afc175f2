/** Outcomes and messages that every check of an order of two events shares. */
import type { DataValue, MessageDeclaration, Outcome } from '../check.ts'
import type { Precedence, PrecedenceVerdict } from './precedence.ts'

export const precedenceMessages = {
  'in-order': {
    state: 'met',
    text: '{before} ({beforeFile}, {beforeTime}) ended before {after} ({afterFile}, {afterTime}).',
  },
  'in-order-by-record': {
    state: 'met',
    text: '{before} ({beforeFile}, {beforeTime}) ended before the record of {after} is dated ({afterFile}, {afterTime}).',
  },
  'out-of-order': {
    state: 'unmet',
    text: '{before} ({beforeFile}, {beforeTime}) cannot have ended before {after} ({afterFile}, {afterTime}).',
  },
  'out-of-order-by-record': {
    state: 'unmet',
    text: 'The record of {before} is dated {beforeTime} ({beforeFile}), after {after} ({afterFile}, {afterTime}), and states no other time for it.',
  },
  uncertain: {
    state: 'unmet',
    text: '{before} ({beforeFile}, {beforeTime}) may not have ended before {after} ({afterFile}, {afterTime}): {decides}.',
  },
  'too-coarse': {
    state: 'undecided',
    text: '{before} ({beforeTime}) and {after} ({afterTime}) are not dated closely enough to tell which came first: {decides}.',
  },
  'no-time': { state: 'undecided', text: '{before} or {after} carries no time: {decides}.' },
} as const satisfies Record<string, MessageDeclaration>

const messageOf: Record<PrecedenceVerdict, keyof typeof precedenceMessages> = {
  certain: 'in-order',
  presumed: 'in-order-by-record',
  'presumed-reversed': 'out-of-order-by-record',
  impossible: 'out-of-order',
  doubtful: 'uncertain',
  coarse: 'too-coarse',
  unknown: 'no-time',
}

/** The outcome of one precedence: both files, both times, and the statements that settle it. */
export function outcomeOf(precedence: Precedence, more: Record<string, DataValue> = {}): Outcome {
  const message = messageOf[precedence.verdict]
  return {
    state: precedenceMessages[message].state,
    message,
    data: { ...precedence.data, ...more },
    evidence: precedence.evidence,
    statements: precedence.answer.because,
  }
}

/** An outcome of a check that has nothing to compare. */
export function nothingToCompare(message: string): Outcome[] {
  return [{ state: 'undecided', message, data: {}, evidence: [] }]
}
