/** SAE J2012: two bytes 4420 are C0420, C155 are U0155 (recomputed from the definition); no letter O stands in any. */
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { faultCodesWellFormed as check } from '../../../src/checks/faults/fault-codes-well-formed.ts'
import { describeUnreadCode } from '../../../src/facts/recognise/unread-codes.ts'
import { decodeBytes } from '../../../src/facts/trouble-code.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { makeCode, postScans } from './scans.ts'

const odd = (...words: string[]) => postScans({ unreadCodes: words.map(describeUnreadCode), codes: [makeCode()] })

describe('fault-codes-well-formed', () => {
  it('is met by codes as two bytes give them', () => {
    const codes = ['44 20', 'C1 55', '96 A1'].map((bytes) => makeCode({ code: decodeBytes(bytes)?.code ?? '' }))
    expect(runCheck(check, postScans({ codes }))).toMatchObject([{ message: 'well-formed', data: { count: 3 } }])
  })

  it('is unmet by letters for digits and by a broken structure, each in one outcome a file', () => {
    expect(runCheck(check, odd('PO420', 'U0I55', 'P4123'))).toMatchObject([
      { message: 'look-alike', data: { codes: ['PO420', 'U0I55'], likely: ['P0420', 'U0155'] } },
      { message: 'structure', data: { codes: ['P4123'] } },
    ])
  })

  it('is undecided about a number of another kind, an unread scan, no codes and no scan', () => {
    expect(messagesOf(check, odd('01435'))).toEqual(['own-number'])
    expect(messagesOf(check, postScans({ problems: [{ code: 'damaged', message: 'x' }] }))).toEqual(['not-read'])
    expect(messagesOf(check, postScans({ codes: [] }))).toEqual(['no-codes'])
    expect(messagesOf(check, makePacket([]))).toEqual(['no-scan'])
  })

  it('any two bytes make a well-formed code, and a nought written as O is found out', () => {
    const bytes = fc.tuple(fc.integer({ min: 0, max: 255 }), fc.integer({ min: 0, max: 255 }))
    fc.assert(
      fc.property(bytes, (pair) => {
        const { code } = decodeBytes(pair) ?? { code: '' }
        expect(messagesOf(check, postScans({ codes: [makeCode({ code })] }))).toEqual(['well-formed'])
        const typed = code.replace(/0/, 'O')
        if (typed === code || (typed.match(/\d/g)?.length ?? 0) < 2) return
        expect(describeUnreadCode(typed)).toEqual({ text: typed, fault: 'look-alike', likely: code })
      }),
    )
  })
})
