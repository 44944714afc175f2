/** Which digests and signatures may be relied on, and until when. A rulebook lists them; the seal is judged by the list. */

export const algorithmNames = [
  'md5',
  'sha-1',
  'sha-256',
  'sha-384',
  'sha-512',
  'rsa-pkcs1',
  'rsa-pss',
  'ecdsa-p256',
  'ecdsa-p384',
  'ecdsa-p521',
] as const
export type AlgorithmName = (typeof algorithmNames)[number]

export interface AlgorithmRule {
  name: AlgorithmName
  /** The least length of the modulus in bits, for RSA; several rules of one name may differ in it. */
  leastBits?: number
  /** The last day on which it may be relied on, `YYYY-MM-DD`; open-ended when absent. */
  until?: string
  /** The source of the rule, for people. */
  basis: string
}

/** `aged`: it was allowed until `until` and is no longer. `unknown`: no rule allows it, at any time. */
export type AlgorithmAnswer =
  | { answer: 'allowed'; until: string | null }
  | { answer: 'aged'; until: string }
  | { answer: 'unknown'; until: null }

/**
 * May `name`, with a modulus of `bits` (null where it has none), be relied on at `day` (`YYYY-MM-DD`)? Of several rules
 * that fit, the one that lasts longest speaks.
 */
export function judgeAlgorithm(
  rules: readonly AlgorithmRule[],
  name: AlgorithmName,
  day: string,
  bits: number | null = null,
): AlgorithmAnswer {
  const fitting = rules.filter(
    (rule) => rule.name === name && (rule.leastBits === undefined || (bits !== null && bits >= rule.leastBits)),
  )
  if (fitting.length === 0) return { answer: 'unknown', until: null }
  if (fitting.some(({ until }) => until === undefined)) return { answer: 'allowed', until: null }
  const until = fitting
    .map((rule) => rule.until ?? '')
    .sort()
    .at(-1) as string
  return day <= until ? { answer: 'allowed', until } : { answer: 'aged', until }
}
