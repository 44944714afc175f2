import { describe, expect, test } from 'vitest'
import { sealParts } from '../../src/facts/seal.ts'
import { concludeSeal, groupFingerprint, renderSeal } from '../../src/report/seal-text.ts'
import { makePart, makeSeal, signer } from '../checks/seal/examined-seal.ts'

const about = { name: 'RO 17 sealed', examined: '2026-11-25T10:00:00Z' }
const textOf = (seal = makeSeal(), width = 200) => renderSeal(seal, about, { width, color: false })

describe('an examined seal as text', () => {
  test('says part by part what holds, whose fingerprint it is, and since when', () => {
    const text = textOf()
    for (const { text: found } of makeSeal().parts) expect(text).toContain(found)
    expect(text).toContain(groupFingerprint(signer.fingerprint))
    expect(text).toContain('2026-10-30T09:00:05Z, within 1 s')
    expect(text).toMatch(/^PASS seal of RO 17 sealed\n/)
  })

  test.each([40, 60, 80])('holds to %i columns', (width) => {
    const faults = [{ file: 'data/a.pdf', code: 'changed', text: 'data/a.pdf is not what was sealed' }]
    const seal = makeSeal([makePart('files', 'broken', { faults }), makePart('renewal', 'doubtful')])
    for (const line of textOf(seal, width).split('\n')) expect(line.length).toBeLessThanOrEqual(width)
  })

  test.each(sealParts)('one broken part breaks the whole: %s', (part) => {
    const seal = makeSeal([makePart(part, 'broken')])
    expect(concludeSeal(seal)).toBe('fail')
    expect(textOf(seal)).toMatch(/^FAIL/)
  })

  test.each(['doubtful', 'absent', 'unexamined'] as const)('what is %s is never a pass', (state) => {
    expect(concludeSeal(makeSeal([makePart('stamp', state)]))).toBe('warn')
  })

  test('that nobody looked up a revocation leaves a pass one, and is said', () => {
    const unlooked = makeSeal([makePart('revocation', 'unexamined', { code: 'not-looked-up' })])
    expect(textOf(unlooked)).toMatch(
      /^PASS .*\nEvery part of the seal holds; whether a certificate was revoked was not/,
    )
    expect(concludeSeal(makeSeal([makePart('revocation', 'unexamined', { code: 'partly-looked-up' })]))).toBe('warn')
    expect(concludeSeal(makeSeal([makePart('stamp', 'unexamined', { code: 'not-looked-up' })]))).toBe('warn')
  })

  test('names twenty faults and counts the others', () => {
    const faults = Array.from({ length: 23 }, (_, index) => ({
      file: `${index}`,
      code: 'missing',
      text: `lacks ${index}.`,
    }))
    const text = textOf(makeSeal([makePart('files', 'broken', { faults })]))
    expect(text).toContain('lacks 19.')
    expect(text).not.toContain('lacks 20.')
    expect(text).toContain('and 3 more')
  })

  test('neutralises what a file says', () => {
    const seal = makeSeal([makePart('files', 'broken', { text: 'a\u001b[2Jb\u202e' })])
    expect(textOf(seal)).not.toMatch(/[\u001b\u202e]/)
  })
})
