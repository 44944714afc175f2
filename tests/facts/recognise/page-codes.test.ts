/** Bar codes on the pages of a paper beside its words. */
import { expect, test } from 'vitest'
import type { DocumentKind } from '../../../src/facts/document.ts'
import type { Barcode, Problem } from '../../../src/facts/reading.ts'
import { vin } from '../../checks/packet-builder.ts'
import { typed } from '../../reading/page-builder.ts'
import { lines, recognisePages } from './recognised.ts'

/** A widely printed example of the check digit, from memory: its weighted sum is 351, 351 mod 11 = 10, X (49 CFR 565.15). */
const other = '1M8GDM9AXKP042788'
const code = (text: string): Barcode => ({ symbology: 'code-39', text, page: 1, box: [400, 20, 560, 50] })

function read(
  text: string,
  codes: string[],
  { kind, problems = [] }: { kind?: DocumentKind; problems?: Problem[] } = {},
) {
  const barcodes = codes.map(code)
  return recognisePages([typed(lines(text))], kind, 'paper.pdf', { barcodes, problems })
}

test('a bar code alone names the vehicle, with its place', () => {
  const facts = read('JOB SHEET\nRepair order RO-4471', [vin, 'RO-4471'])
  expect(facts.vin).toBe(vin)
  expect(facts.evidence.vin).toEqual([{ page: 1, box: [400, 20, 560, 50], text: vin }])
  expect(facts.barcodes).toEqual([vin, 'RO-4471'].map((text) => ({ symbology: 'code-39', text })))
  expect(facts.evidence['barcodes.1']?.[0]?.text).toBe('RO-4471')
})

test('one number in words and bars is one reading at two places', () => {
  const { vins } = read(`JOB SHEET\nVIN: ${vin}`, [`I${vin}`])
  expect(vins?.map(({ value, evidence }) => [value, evidence.length])).toEqual([[vin, 2]])
})

test('another number in the bars is a reading beside that of the words, which stay the first', () => {
  const facts = read(`JOB SHEET\nVIN: ${vin}`, [other])
  expect([facts.vin, facts.vins?.map(({ value }) => value)]).toEqual([vin, [vin, other]])
})

test('the end of the number in words is made whole by the bars', () => {
  expect(read(`JOB SHEET\nVIN: ${vin.slice(-8)}`, [vin]).vin).toBe(vin)
  expect(read(`JOB SHEET\nVIN: ${vin.slice(-8)}`, [other]).vin).toBe(vin.slice(-8))
})

test('a number that was read out of a picture with one letter for another gives way to the bars', () => {
  const problems = [{ code: 'read-from-picture', message: '' }]
  const misread = vin.replace('5', 'S')
  const facts = read(`JOB SHEET\nVIN: ${misread}`, [vin], { problems })
  expect(facts.vins?.map(({ value }) => value)).toEqual([vin])
  expect(facts.problems.find(({ code }) => code === 'look-alikes-chosen')?.message).toContain(
    `${vin} (page 1, first read as ${misread})`,
  )
  expect(read(`JOB SHEET\nVIN: ${misread}`, [vin]).vins).toHaveLength(2)
})

test('17 characters whose check digit does not hold are a VIN only where the words show them too', () => {
  const odd = vin.replace('5', '7')
  expect(read('JOB SHEET\nRepair order RO-4471', [odd]).vins).toBeUndefined()
  expect(read(`JOB SHEET\nVIN: ${odd}`, [odd]).vins?.[0]?.evidence).toHaveLength(2)
})

test('bar codes of two vehicles: which of them the paper is of stays open', () => {
  const facts = read('LIST OF VEHICLES', [vin, other])
  expect([facts.vin, facts.vins?.length]).toEqual([undefined, 2])
})

test('none found is told only of what shows photos', () => {
  expect(read('JOB SHEET', []).barcodes).toBeUndefined()
  expect(read('JOB SHEET', [], { kind: 'photo' }).barcodes).toEqual([])
})
