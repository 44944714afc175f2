import { expect, test } from 'vitest'
import { vinWellFormed } from '../../../src/checks/identity/vin-well-formed.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, makePlace, vin } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('vin-well-formed')
const packetOf = (...vins: string[]) =>
  makePacket(vins.map((value, index) => makeDocument('pre-scan', `${index}.pdf`, { vin: value })))

// The first is the sample of 49 CFR 565.15 (weighted sum 411, check digit 4); the second stands in an outline by the
// National Highway Traffic Safety Administration (sum 314, 6); the others are public worked examples (sums 351 and 89).
test.each(['1G4AH59H45G118341', '1J9RP1A36A1644345', '1M8GDM9AXKP042788', '11111111111111111'])('%s holds', (value) => {
  expect(messagesOf(vinWellFormed, packetOf(value), parameters)).toEqual(['well-formed'])
})

test('a wrong check digit is named with the right one, and the reading that would hold is offered', () => {
  const [outcome] = runCheck(vinWellFormed, packetOf('1G4AH59H45G118341'.replace('59', 'S9')), parameters)
  expect(outcome?.message).toBe('check-digit-fails')
  expect(outcome?.data).toMatchObject({ found: '4', repair: expect.stringContaining('1G4AH59H45G118341') })
  const [plain] = runCheck(vinWellFormed, packetOf('1G4AH59H55G118341'), parameters)
  expect(plain?.data).toMatchObject({ found: '5', expected: '4' })
})

test('where the law asks for no check digit, a failing one only warns', () => {
  const elsewhere = `W${'1G4AH59H55G118341'.slice(1)}`
  const [outcome] = runCheck(vinWellFormed, packetOf(elsewhere), parameters)
  expect(outcome).toMatchObject({ state: 'unmet', message: 'check-digit-elsewhere' })
})

test('a sign at position 9 that is no check digit tells nothing where none is asked for (49 CFR 565.15(c))', () => {
  const filled = 'W1G4AH59Z5G118341'
  expect(runCheck(vinWellFormed, packetOf(filled), parameters)[0]).toMatchObject({
    state: 'undecided',
    message: 'no-check-digit',
    data: { vin: filled, found: 'Z' },
  })
  expect(messagesOf(vinWellFormed, packetOf(`1${filled.slice(1)}`), parameters)).toEqual(['check-digit-fails'])
})

test.each(['I', 'O', 'Q'])('the letter %s is in no VIN', (letter) => {
  const [outcome] = runCheck(vinWellFormed, packetOf(`${vin.slice(0, 12)}${letter}${vin.slice(13)}`), parameters)
  expect(outcome).toMatchObject({ message: 'bad-character', data: { characters: [letter] } })
})

test('a number of another length than 17 is no VIN, unless it is shown as a part', () => {
  const [outcome] = runCheck(vinWellFormed, packetOf(vin.slice(1)), parameters)
  expect(outcome).toMatchObject({ message: 'wrong-length', data: { length: 16 } })
  expect(messagesOf(vinWellFormed, packetOf(vin.slice(-8), vin.slice(-6)), parameters)).toEqual(['only-partial'])
  expect(messagesOf(vinWellFormed, packetOf(`***${vin.slice(-12)}`), parameters)).toEqual(['only-partial'])
})

test('each value once, with every place it was read at', () => {
  const document = makeDocument('invoice', 'b.pdf', { vins: [{ value: vin, evidence: [makePlace(vin, 2)] }] })
  const packet = makePacket([makeDocument('pre-scan', 'a.pdf'), document], { declaration: { vehicle: { vin } } })
  const [outcome] = runCheck(vinWellFormed, packet, parameters)
  expect(outcome?.data.files).toEqual(['a.pdf', 'b.pdf', 'packet.yaml'])
  expect(outcome?.evidence.map(({ file, page }) => [file, page])).toEqual([
    ['a.pdf', 1],
    ['b.pdf', 2],
    ['packet.yaml', undefined],
  ])
})

test('no VIN at all leaves it open', () => {
  const packet = makePacket([makeDocument('invoice', 'a.pdf', { vin: undefined })])
  expect(messagesOf(vinWellFormed, packet, parameters)).toEqual(['no-vin'])
})
