/** Status bytes, words about a code's test, and what stands where a code should: SAE J2012 structure, ISO 14229-1 bits. */
import { describe, expect, test } from 'vitest'
import { describeUnreadCode } from '../../../src/facts/recognise/unread-codes.ts'
import { recognise } from './recognised.ts'

const scan = (text: string) => recognise(text, 'post-scan')
const codes = (text: string) =>
  scan(text).codes?.map(({ code, status, statusByte, test }) => [code, status, statusByte, test])

describe('status bytes', () => {
  test('in a column of their own; the status is decoded where no word tells it', () => {
    const text = `
      Module         Code        Status byte   Description
      Front radar    C1A67-54    2F            Calibration missing
      Front camera   B16A1-78    08            Alignment incorrect
      Brakes         C0420-00    24            Wheel speed
      Gateway        U0155-87    50            Missing message
    `
    expect(codes(text)).toEqual([
      ['C1A67', 'active', '2F', 'completed'],
      ['B16A1', 'stored', '08', 'completed'],
      ['C0420', 'pending', '24', 'completed'],
      ['U0155', 'unknown', '50', 'not-since-clear'],
    ])
  })

  test('tied to the code, called by name, or written as hexadecimal', () => {
    expect(codes('Front radar\n   U0155-87-2F  Missing message')).toEqual([['U0155', 'active', '2F', 'completed']])
    expect(codes('Front radar\n   U0155  Missing message, status byte 50')?.[0]?.slice(2)).toEqual([
      '50',
      'not-since-clear',
    ])
    const table = 'Code    Status   Description\nU0155   0x08     Missing message\nC0420   0x24     Wheel speed'
    expect(codes(table)).toEqual([
      ['U0155', 'stored', '08', 'completed'],
      ['C0420', 'pending', '24', 'completed'],
    ])
  })

  test('a bare number under "Status" is none', () => {
    expect(
      codes('Code    Status   Description\nU0155   08       Missing message\nC0420   24       Wheel speed'),
    ).toEqual([
      ['U0155', 'unknown', undefined, undefined],
      ['C0420', 'unknown', undefined, undefined],
    ])
  })
})

test('words about the test, beside or beneath the code', () => {
  const text = `
    Module         Code     Status    Remark
    Front radar    C1A67    Stored    Test not completed since clear
    Brakes         C0420    Stored    Not tested this cycle
    Gateway        U0155    Stored    Test passed
  `
  expect(codes(text)?.map((code) => [code[0], code[1], code[3]])).toEqual([
    ['C1A67', 'stored', 'not-since-clear'],
    ['C0420', 'stored', 'not-this-cycle'],
    ['U0155', 'stored', 'completed'],
  ])
  expect(codes('Front radar\n   C1A67  Calibration missing  Stored\n   Not tested since clear')?.[0]?.[3]).toBe(
    'not-since-clear',
  )
})

test('what has passed since codes were cleared', () => {
  const { sinceClear, evidence } = scan('Distance since codes cleared:   3 km\nWarm-ups since codes cleared:   1')
  expect(sinceClear).toMatchObject({ metres: 3000, cycles: 1 })
  expect(evidence.sinceClear?.[0]?.text).toContain('3 km')
})

test('a scan that says of itself that tests have not run', () => {
  expect(scan('Brakes    OK\n\nTest not completed since last clear').sinceClear).toMatchObject({ untested: true })
  expect(scan('Note:   Tests have not been completed since the codes were cleared.').sinceClear?.untested).toBe(true)
  expect(scan('Catalyst monitor     Test not completed since clear').sinceClear).toBeUndefined()
  expect(scan('Test not completed since clear: 0').sinceClear?.untested).toBeUndefined()
})

describe('what stands where a code should', () => {
  test.each([
    ['PO420', 'look-alike', 'P0420'],
    ['P0I71', 'look-alike', 'P0171'],
    ['U0l55-87', 'look-alike', 'U0155-87'],
    ['C1A6O', 'look-alike', 'C1A60'],
    ['P4123', 'structure', undefined],
    ['U5100', 'structure', undefined],
    ['P042', 'structure', undefined],
    ['01435', 'own-number', undefined],
    ['0x9F12', 'own-number', undefined],
  ])('%s: %s', (word, fault, likely) => {
    expect(describeUnreadCode(word)).toEqual({ text: word, fault, ...(likely ? { likely } : {}) })
  })

  test('is told in a column of codes and on a line that ends in a status, and keeps the scan from being clean', () => {
    const table = 'Module        Code     Status\nFront radar   PO420    Active\nBrakes        C0420    Stored'
    const { unreadCodes, problems, evidence } = scan(table)
    expect(unreadCodes).toEqual([{ text: 'PO420', fault: 'look-alike', likely: 'P0420' }])
    expect(problems.map(({ code }) => code)).toContain('unread-code')
    expect(evidence['unreadCodes.0']?.[0]?.text).toContain('PO420')
    expect(scan('Front radar\n   U5100  Missing message  Stored').unreadCodes).toEqual([
      { text: 'U5100', fault: 'structure' },
    ])
  })

  test('running text holds none', () => {
    const text = 'The customer named PO420 and the P4123 bracket, and asked that both be looked at before the work.'
    expect(scan(text).unreadCodes).toBeUndefined()
  })
})

test.each(['1. Control units', '2) Modules found'])('the number of a heading counts no modules: %s', (heading) => {
  expect(scan(`${heading}\nFront radar   OK\nBrakes   OK`).statedModuleCount).toBeUndefined()
})
