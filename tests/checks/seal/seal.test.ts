import { describe, expect, it } from 'vitest'
import type { Check } from '../../../src/checks/check.ts'
import { manifestAgrees } from '../../../src/checks/seal/manifest-agrees.ts'
import { sealIntact } from '../../../src/checks/seal/seal-intact.ts'
import { sealTimestamped } from '../../../src/checks/seal/seal-timestamped.ts'
import { sealTrusted } from '../../../src/checks/seal/seal-trusted.ts'
import type { SealExamination, SealPart } from '../../../src/facts/seal.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makePart, makeSeal, signer } from './examined-seal.ts'

const say = (check: Check, seal: SealExamination | null) => messagesOf(check, makePacket([], { seal }))
const sayWith = (check: Check, ...parts: SealPart[]) => say(check, makeSeal(parts))
const bag = makeSeal([], { form: 'bag', signer: null, stamps: [], claimedTime: null })

describe('manifest-agrees', () => {
  it.each([
    [null, ['no-list']],
    [makeSeal(), ['agrees']],
    [bag, ['agrees']],
    [makeSeal([makePart('files', 'broken')]), ['differs']],
    [makeSeal([makePart('structure', 'broken'), makePart('files', 'broken')]), ['not-whole', 'differs']],
    [makeSeal([makePart('files', 'doubtful')]), ['unsettled']],
    [makeSeal([makePart('structure', 'broken'), makePart('files', 'unexamined')]), ['not-whole']],
    [makeSeal([makePart('files', 'absent')]), ['no-list']],
  ])('%#: %j', (seal, messages) => {
    expect(say(manifestAgrees, seal)).toEqual(messages)
  })

  it('names the files that are not as listed, and counts what it leaves out', () => {
    const faults = Array.from({ length: 25 }, (_, index) => ({
      file: `data/${index}.pdf`,
      code: 'changed',
      text: `data/${index}.pdf is not the file listed`,
    }))
    const packet = makePacket([], { seal: makeSeal([makePart('files', 'broken', { faults })]) })
    const [outcome] = runCheck(manifestAgrees, packet)
    expect(outcome?.data.because).toContain('data/0.pdf is not the file listed; data/1.pdf')
    expect(outcome?.data.because).toMatch(/; 5 more$/)
    expect(outcome?.evidence.map(({ file }) => file)).toContain('data/19.pdf')
  })
})

describe('seal-intact', () => {
  it.each([
    [null, ['not-sealed']],
    [bag, ['not-sealed']],
    [makeSeal(), ['intact']],
    [makeSeal([makePart('signature', 'broken')]), ['broken']],
    [makeSeal([makePart('signature', 'unexamined')]), ['unsettled']],
  ])('%#: %j', (seal, messages) => {
    expect(say(sealIntact, seal)).toEqual(messages)
  })
})

describe('seal-trusted', () => {
  it.each([
    [null, ['not-sealed']],
    [bag, ['not-sealed']],
    [makeSeal(), ['trusted']],
    [makeSeal([makePart('signer', 'broken')]), ['not-acceptable']],
    [makeSeal([makePart('signer', 'doubtful')]), ['not-settled']],
    [makeSeal([makePart('signer', 'unexamined')], { signer: null }), ['no-signer']],
  ])('%#: %j', (seal, messages) => {
    expect(say(sealTrusted, seal)).toEqual(messages)
  })

  it.each([
    [makePart('revocation', 'holds'), ['trusted']],
    [makePart('revocation', 'broken'), ['revoked']],
    [makePart('revocation', 'doubtful'), ['trusted', 'revocation-open']],
    [makePart('revocation', 'unexamined', { code: 'partly-looked-up' }), ['trusted', 'revocation-open']],
    [makePart('revocation', 'unexamined', { code: 'not-looked-up' }), ['trusted', 'revocation-not-looked-up']],
  ])('says what is known of a revocation: $state $code', (part, messages) => {
    expect(sayWith(sealTrusted, part)).toEqual(messages)
  })

  it('names a revocation though nobody is trusted', () => {
    expect(sayWith(sealTrusted, makePart('signer', 'doubtful'), makePart('revocation', 'broken'))).toEqual(['revoked'])
  })

  it('reads out the fingerprint, so that it can be compared with what the signer says', () => {
    const packet = makePacket([], { seal: makeSeal([makePart('signer', 'doubtful')]) })
    expect(runCheck(sealTrusted, packet)[0]?.data).toMatchObject({ fingerprint: signer.fingerprint })
  })
})

describe('seal-timestamped', () => {
  it.each([
    [null, ['not-sealed']],
    [bag, ['not-sealed']],
    [makeSeal(), ['stamped']],
    [makeSeal([makePart('stamp', 'broken')]), ['broken']],
    [makeSeal([makePart('stamp', 'doubtful')]), ['unsettled']],
    [makeSeal([makePart('stamp', 'absent')], { stamps: [] }), ['no-stamp']],
    [makeSeal([makePart('renewal', 'holds')]), ['stamped']],
    [makeSeal([makePart('renewal', 'broken')]), ['stamped', 'renewal-broken']],
    [makeSeal([makePart('renewal', 'doubtful')]), ['stamped', 'renewal-unsettled']],
  ])('%#: %j', (seal, messages) => {
    expect(say(sealTimestamped, seal)).toEqual(messages)
  })

  it('says whose word the time is where nobody else vouches for it', () => {
    const packet = makePacket([], { seal: makeSeal([makePart('stamp', 'absent')], { stamps: [] }) })
    expect(runCheck(sealTimestamped, packet)[0]?.data).toEqual({ claimed: '2026-10-30T09:00:00Z' })
  })

  it('is not concerned with the other parts', () => {
    expect(sayWith(sealTimestamped, makePart('signer', 'broken'))).toEqual(['stamped'])
  })
})
