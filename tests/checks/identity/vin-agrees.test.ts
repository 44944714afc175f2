import { expect, test } from 'vitest'
import { vinAgrees } from '../../../src/checks/identity/vin-agrees.ts'
import { makeDocument, makePacket, makePlace, vin } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const lookAlike = vin.replace('5', 'S')
const swapped = `${vin.slice(0, -2)}12`
const packetOf = (...vins: (string | undefined)[]) =>
  makePacket(vins.map((value, index) => makeDocument('pre-scan', `${index}.pdf`, { vin: value })))

test('the same VIN everywhere, however it is grouped or cased', () => {
  const [outcome] = runCheck(vinAgrees, packetOf(vin, vin.toLowerCase(), `${vin.slice(0, 8)} ${vin.slice(8)}`))
  expect(outcome).toMatchObject({ state: 'met', message: 'agree', data: { vin, count: 3 } })
})

test.each<[odd: string, message: string, data: object]>([
  [lookAlike, 'look-alike', { position: 6, expected: '5', found: 'S' }],
  [swapped, 'swapped', { positions: [16, 17] }],
  [`${vin.slice(0, -2)}99`, 'few-characters', { positions: [16, 17] }],
  ['1M8GDM9AXKP042788', 'another-vehicle', { differing: 15 }],
])('%s is the odd one out: %s', (odd, message, data) => {
  const outcomes = runCheck(vinAgrees, packetOf(vin, odd, vin))
  expect(outcomes).toHaveLength(1)
  expect(outcomes[0]).toMatchObject({
    state: 'unmet',
    message,
    data: { odd: ['1.pdf'], value: odd, others: ['0.pdf', '2.pdf'], ...data },
  })
  expect(outcomes[0]?.evidence.map((place) => place.file)).toEqual(['1.pdf', '0.pdf', '2.pdf'])
})

test('one against one: the check digit tells which is odd', () => {
  const [outcome] = runCheck(vinAgrees, packetOf(lookAlike, vin))
  expect(outcome).toMatchObject({ message: 'look-alike', data: { odd: ['0.pdf'], vin } })
})

test('one against one, and both can be right: neither is called odd', () => {
  expect(messagesOf(vinAgrees, packetOf('1M8GDM9AXKP042788', vin))).toEqual(['two-sides'])
  expect(messagesOf(vinAgrees, packetOf(lookAlike, `${vin.slice(0, -1)}9`))).toEqual(['two-sides'])
})

test('two numbers in one file do not agree either', () => {
  const vins = [vin, '1M8GDM9AXKP042788'].map((value) => ({ value, evidence: [makePlace(value)] }))
  expect(messagesOf(vinAgrees, makePacket([makeDocument('invoice', 'a.pdf', { vins })]))).toEqual(['two-sides'])
})

test('the declared VIN is a reading like any other', () => {
  const packet = makePacket([makeDocument('pre-scan', 'a.pdf')], { declaration: { vehicle: { vin: swapped } } })
  expect(runCheck(vinAgrees, packet)[0]).toMatchObject({ message: 'swapped', data: { odd: ['packet.yaml'] } })
})

test('a part agrees, or does not', () => {
  expect(messagesOf(vinAgrees, packetOf(vin, vin.slice(-8), `***${vin.slice(-6)}`))).toEqual([
    'partial-agrees',
    'partial-agrees',
  ])
  expect(messagesOf(vinAgrees, packetOf(vin, '999999'))).toEqual(['partial-differs'])
  expect(messagesOf(vinAgrees, packetOf(vin, vin.slice(3)))).toEqual(['not-comparable'])
})

test('a part beside the full number in one file takes nothing away from it', () => {
  const vins = [vin, vin.slice(-8)].map((value) => ({ value, evidence: [makePlace(value)] }))
  const packet = makePacket([makeDocument('invoice', 'a.pdf', { vins }), makeDocument('pre-scan', 'b.pdf')])
  expect(messagesOf(vinAgrees, packet)).toEqual(['agree'])
})

test('with too little to compare it stays open', () => {
  expect(messagesOf(vinAgrees, packetOf(undefined))).toEqual(['no-vin'])
  expect(messagesOf(vinAgrees, packetOf(vin, undefined))).toEqual(['one-reading'])
  expect(messagesOf(vinAgrees, packetOf('000421', '000421'))).toEqual(['only-partial'])
})
