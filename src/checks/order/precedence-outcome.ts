/** Outcomes and messages that every check of an order of two events shares. */
import type { OrderChain } from '../../packet/packet.ts'
import type { DataValue, MessageDeclaration, Outcome, WorkingStep } from '../check.ts'
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
  const chain = precedence.answer.explain?.()
  return {
    state: precedenceMessages[message].state,
    message,
    data: { ...precedence.data, ...more },
    evidence: precedence.evidence,
    statements: precedence.answer.because,
    ...(chain ? { working: describeChain(chain, precedence) } : {}),
  }
}

/** The chain of the timeline, one step a statement, and what it comes to. */
export function describeChain(
  chain: OrderChain,
  { before, after }: Pick<Precedence, 'before' | 'after'>,
): WorkingStep[] {
  const nameOf = (event: string) => (event === before.id ? before.label : after.label)
  const edgeOf = (edge: 'start' | 'end') => (edge === 'start' ? 'began' : 'ended')
  const zone = chain.frame === 'utc' ? '' : ' in the zone of the clocks that print none'
  const steps = chain.steps.map(({ moment, side, statement, time }): WorkingStep => {
    const data = {
      said: statement.text,
      event: nameOf(moment.event),
      edge: edgeOf(moment.edge),
      side: side === 'no-earlier' ? 'no earlier' : 'no later',
      time: time === null || chain.frame === 'utc' ? time : time.replace('Z', ''),
      zone,
    }
    return { text: time === null ? '{said}.' : '{said}: so {event} {edge} {side} than {time}{zone}.', data }
  })
  const { later, earlier, gapSeconds } = chain
  const result: WorkingStep = {
    text: 'Together: {later} {laterEdge} at least {gap} s after {earlier} {earlierEdge}.',
    data: {
      later: nameOf(later.event),
      laterEdge: edgeOf(later.edge),
      gap: gapSeconds,
      earlier: nameOf(earlier.event),
      earlierEdge: edgeOf(earlier.edge),
    },
  }
  return [...steps, result]
}

/** An outcome of a check that has nothing to compare. */
export function nothingToCompare(message: string): Outcome[] {
  return [{ state: 'undecided', message, data: {}, evidence: [] }]
}
