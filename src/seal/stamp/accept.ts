/** Takes an authority's answer only when it is a stamp over what was asked for (RFC 3161, section 2.2). */
import type { AlgorithmRule } from '../../facts/algorithms.ts'
import { SealError } from '../seal-error.ts'
import { nobody } from '../signer.ts'
import { readStampAnswer, type StampQuery } from './exchange.ts'
import { verifyStamp } from './token.ts'

/** Clocks of authorities may run ahead of this machine's. */
const slackMilliseconds = 86_400_000

/**
 * The token in the answer `der` of the authority `where` to `query` over `stamped`, asked at `at`. Whether the authority
 * is trusted is for whoever verifies. Throws SealError `stamp-refused` and `stamp-unusable`.
 */
export function acceptStamp(
  der: Uint8Array,
  query: StampQuery,
  stamped: Uint8Array,
  { where, policy, at }: { where: string; policy: readonly AlgorithmRule[]; at: Date },
): Uint8Array {
  const token = readStampAnswer(der, where)
  const answer = verifyStamp({
    token,
    file: 'the stamp',
    stamped,
    nonce: query.nonce,
    trust: nobody,
    policy,
    at: new Date(at.getTime() + slackMilliseconds),
  })
  if (answer.state !== 'broken') return token
  throw new SealError(
    'stamp-unusable',
    where,
    `the stamp of the time-stamp authority ${where} does not hold: ${answer.text}`,
    'Try again; if it happens again, choose another time-stamp authority.',
  )
}
