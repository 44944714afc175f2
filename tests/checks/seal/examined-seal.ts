/** Examined seals for tests of checks: parts with stated states, of an invented signer and authority. */
import type { SealCertificate, SealExamination, SealPart, SealPartName, SealState } from '../../../src/facts/seal.ts'

const certificate = (subject: string): SealCertificate => ({
  subject,
  issuer: subject,
  serial: '5f3a',
  fingerprint: 'ab'.repeat(32),
  validFrom: '2026-01-01T00:00:00Z',
  validUntil: '2029-01-01T00:00:00Z',
  key: 'rsa-3072',
})

export const signer = certificate('CN=Records desk,O=Larkfield Sensor Works')

export function makePart(part: SealPartName, state: SealState, rest: Partial<SealPart> = {}): SealPart {
  return {
    part,
    state,
    code: `${part}-${state}`,
    text: `The ${part} is ${state}`,
    file: 'seal.p7s',
    faults: [],
    ...rest,
  }
}

/** Every part holds, but for those given. */
export function makeSeal(parts: SealPart[] = [], rest: Partial<SealExamination> = {}): SealExamination {
  const names = ['structure', 'files', 'signature', 'signer', 'revocation', 'stamp'] as const
  const given = new Set(parts.map(({ part }) => part))
  return {
    form: 'sealed',
    parts: [...names.filter((name) => !given.has(name)).map((name) => makePart(name, 'holds')), ...parts],
    signer,
    claimedTime: '2026-10-30T09:00:00Z',
    stamps: [
      {
        file: 'seal.tsr',
        time: '2026-10-30T09:00:05Z',
        accuracySeconds: 1,
        authority: certificate('CN=Time desk,O=Larkfield Time'),
        digest: 'sha-256',
        serial: '01',
        policy: '1.3.6.1.4.1.99999.1',
      },
    ],
    revocations: [],
    digests: ['sha-512', 'sha-256'],
    ...rest,
  }
}
