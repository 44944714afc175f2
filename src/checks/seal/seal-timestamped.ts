/** The time of the seal, and who vouches for it. */
import type { SealExamination } from '../../facts/seal.ts'
import type { Check, Outcome } from '../check.ts'
import { describePart, findPart, notSealed } from './seal-outcome.ts'

export const sealTimestamped: Check = {
  id: 'seal-timestamped',
  group: 'seal',
  claim: 'An authority beside the signer vouches for the time from which the packet has been sealed.',
  messages: {
    stamped: {
      state: 'met',
      text: '{because}. The packet has been sealed since {time} at the latest, says {authority}.',
    },
    broken: { state: 'unmet', text: 'The time stamp does not hold: {because}.' },
    'renewal-broken': { state: 'unmet', text: 'The renewal of the time stamp does not hold: {because}.' },
    'no-stamp': {
      state: 'undecided',
      text: 'No authority vouches for the time; it is the word of the signer alone: {claimed}.',
    },
    unsettled: { state: 'undecided', text: 'Whether the time stamp holds is open: {because}.' },
    'renewal-unsettled': { state: 'undecided', text: 'Whether the time stamp holds on is open: {because}.' },
    'not-sealed': { state: 'undecided', text: 'The packet is not sealed.' },
  },
  parameters: {},
  remedy:
    "A time stamp on the sealed packet as it is now, which bounds the time from today on, or the keeper's own stamped copy.",
  suppliers: ['shop', 'insurer'],
  settledWith: 'papers',
  exposes: {
    shop: 'a record of which nobody can say since when it has been as it is',
    calibrator: 'a record of which nobody can say since when it has been as it is',
    insurer: 'relying on a date that the signer could have chosen',
    owner: 'a record of the repair whose date cannot be relied on',
  },
  collect: [],
  run(packet) {
    const unsealed = notSealed(packet)
    if (unsealed !== null || packet.seal === null)
      return unsealed ?? [{ state: 'undecided', message: 'not-sealed', data: {}, evidence: [] }]
    return [...judgeStamp(packet.seal), ...judgeRenewal(packet.seal)]
  },
}

function judgeStamp(seal: SealExamination): Outcome[] {
  const part = findPart(seal, 'stamp')
  const [stamp] = seal.stamps
  if (part === null || part.state === 'absent') {
    const claimed = seal.claimedTime ?? 'none stated'
    return [{ state: 'undecided', message: 'no-stamp', data: { claimed }, evidence: [] }]
  }
  if (part.state === 'broken') return [describePart('unmet', 'broken', part)]
  if (part.state !== 'holds' || stamp === undefined) return [describePart('undecided', 'unsettled', part)]
  return [describePart('met', 'stamped', part, { time: stamp.time, authority: stamp.authority.subject })]
}

function judgeRenewal(seal: SealExamination): Outcome[] {
  const part = findPart(seal, 'renewal')
  if (part?.state === 'broken') return [describePart('unmet', 'renewal-broken', part)]
  return part?.state === 'doubtful' ? [describePart('undecided', 'renewal-unsettled', part)] : []
}
