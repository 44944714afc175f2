import { describe, expect, it } from 'vitest'
import { subletAgrees as check } from '../../../src/checks/billing/sublet-agrees.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDate, makeDocument, makePacket, vin } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { camera, makeBill } from './bills.ts'

const parameters = generalParameters('sublet-agrees')
const declaration = { intake: '2026-05-04T08:00', release: '2026-05-08T16:00', zone: '-06:00' }
const sublet = (rest: Partial<DocumentFacts>) => makeBill('sublet 90.pdf', [camera], rest)
const scan = makeDocument('pre-scan', 'pre.pdf', { date: makeDate('2026-05-04T09:00-06:00') })
const shop = makeBill('invoice.pdf', [camera], { date: makeDate('2026-05-08') })
const say = (invoice: DocumentFacts) => messagesOf(check, makePacket([scan, invoice], { declaration }), parameters)

describe('sublet-agrees', () => {
  it.each([
    ['2026-05-04', 'agrees'],
    ['2026-05-06', 'agrees'],
    ['2026-05-31', 'agrees'],
    ['2026-05-02', 'before-job'],
    ['2026-06-12', 'after-job'],
  ])('dated %s: %s', (day, message) => {
    expect(say(sublet({ date: makeDate(day) }))).toEqual([message])
  })

  it('names another vehicle, whatever the date', () => {
    const date = makeDate('2026-05-06')
    const [outcome] = runCheck(
      check,
      makePacket([scan, sublet({ vin: '1ZZTE5T13NB000422', date })], { declaration }),
      parameters,
    )
    expect(outcome).toMatchObject({ message: 'another-vehicle', data: { value: '1ZZTE5T13NB000422', vin } })
    expect(outcome?.evidence.map(({ file }) => file)).toEqual(['sublet 90.pdf', 'pre.pdf'])
    expect(say(sublet({ vin: vin.slice(-8), date }))).toEqual(['agrees'])
    expect(say(sublet({ vin: '99999999', date }))).toEqual(['another-vehicle'])
  })

  it('takes the pre-scan and the invoice of the shop for the days of the job where none are declared', () => {
    const packet = (day: string) => makePacket([scan, shop, sublet({ date: makeDate(day) })])
    expect(messagesOf(check, packet('2026-05-01'), parameters)).toEqual(['before-job'])
    expect(messagesOf(check, packet('2026-05-03'), parameters)).toEqual(['agrees'])
    expect(messagesOf(check, packet('2026-06-20'), parameters)).toEqual(['after-job'])
    const [outcome] = runCheck(check, packet('2026-06-20'), parameters)
    expect(outcome?.working?.[0]?.data).toMatchObject({ days: 31, bound: '2026-06-09T11:59:59Z' })
  })

  it('lets parts be ordered before the vehicle comes', () => {
    const operations = [{ text: 'Radar', calls: [], kind: 'repair' as const, billed: true, part: 'NB-4418' }]
    expect(say(sublet({ operations, date: makeDate('2026-04-20') }))).toEqual(['agrees'])
  })

  it('says so where there is nothing to compare, or no such invoice', () => {
    expect(say(sublet({ vin: undefined }))).toEqual(['not-comparable'])
    expect(messagesOf(check, makePacket([sublet({})]), parameters)).toEqual(['not-comparable'])
    expect(messagesOf(check, makePacket([scan, shop]), parameters)).toEqual(['no-sublet'])
  })
})
