/** Who sealed the packet, and whether that one may be believed. */
import type { SealPart } from '../../facts/seal.ts'
import type { Check, DataValue, Outcome } from '../check.ts'
import { describePart, findPart, notSealed } from './seal-outcome.ts'

export const sealTrusted: Check = {
  id: 'seal-trusted',
  group: 'seal',
  claim:
    'Whoever sealed the packet is somebody whom the reviewer trusts, with a certificate that was good at the time.',
  messages: {
    trusted: { state: 'met', text: '{because}. Signer: {subject}, fingerprint (SHA-256) {fingerprint}.' },
    'not-acceptable': {
      state: 'unmet',
      text: 'The certificate of the signer does not do: {because}. Signer: {subject}.',
    },
    'not-settled': {
      state: 'undecided',
      text: '{because}. Signer: {subject}, fingerprint (SHA-256) {fingerprint}.',
    },
    revoked: { state: 'unmet', text: 'A certificate behind the seal was revoked: {because}. Signer: {subject}.' },
    'revocation-open': {
      state: 'undecided',
      text: 'Whether a certificate behind the seal was revoked is open: {because}. Signer: {subject}.',
    },
    'revocation-not-looked-up': {
      state: 'undecided',
      text: 'Whether a certificate behind the seal was revoked was not looked up. Signer: {subject}.',
    },
    'no-signer': { state: 'undecided', text: 'Who signed cannot be told: {because}.' },
    'not-sealed': { state: 'undecided', text: 'The packet is not sealed.' },
  },
  parameters: {},
  remedy:
    "The signer's fingerprint from the signer, by a way that does not come with the packet, such as the telephone; put it into the trust list.",
  suppliers: ['shop', 'insurer'],
  settledWith: 'papers',
  exposes: {
    shop: 'a seal that proves nothing to others',
    calibrator: 'a seal that proves nothing to others',
    insurer: 'relying on a seal that anybody could have made',
    owner: 'a record of the repair that cannot be relied on',
  },
  collect: [],
  run(packet) {
    const unsealed = notSealed(packet)
    const part = packet.seal === null ? null : findPart(packet.seal, 'signer')
    if (unsealed !== null || part === null)
      return unsealed ?? [{ state: 'undecided', message: 'not-sealed', data: {}, evidence: [] }]
    const signer = packet.seal?.signer ?? null
    if (signer === null) return [describePart('undecided', 'no-signer', part)]
    const data = { subject: signer.subject, fingerprint: signer.fingerprint }
    const revocation = judgeRevocation(packet.seal === null ? null : findPart(packet.seal, 'revocation'), data)
    if (part.state === 'holds' && revocation?.state !== 'unmet')
      return [describePart('met', 'trusted', part, data), ...(revocation === null ? [] : [revocation])]
    if (revocation?.state === 'unmet') return [revocation]
    if (part.state === 'broken') return [describePart('unmet', 'not-acceptable', part, data)]
    return [describePart('undecided', 'not-settled', part, data)]
  },
}

/** Null where none was revoked. Lists that were not used lie outside of the packet, so that they are no places in it. */
function judgeRevocation(part: SealPart | null, data: Record<string, DataValue>): Outcome | null {
  if (part === null || part.state === 'holds') return null
  const because = [part.text, ...part.faults.map(({ text }) => text)].join('. ')
  const told = { data: { ...data, because }, evidence: [{ file: sealFile, text: part.text }] }
  if (part.state === 'broken') return { state: 'unmet', message: 'revoked', ...told }
  const message = part.code === 'not-looked-up' ? 'revocation-not-looked-up' : 'revocation-open'
  return { state: 'undecided', message, ...told }
}

/** The signature of a sealed packet, which the certificates are in. */
const sealFile = 'seal.p7s'
