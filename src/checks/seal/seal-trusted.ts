/** Who sealed the packet, and whether that one may be believed. */
import type { Check } from '../check.ts'
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
    if (part.state === 'holds') return [describePart('met', 'trusted', part, data)]
    if (part.state === 'broken') return [describePart('unmet', 'not-acceptable', part, data)]
    return [describePart('undecided', 'not-settled', part, data)]
  },
}
