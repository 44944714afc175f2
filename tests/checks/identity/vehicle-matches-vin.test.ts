import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { vehicleMatchesVin as check } from '../../../src/checks/identity/vehicle-matches-vin.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { checkDigit } from '../../../src/facts/vin.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, makePlace, vin } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('vehicle-matches-vin')
const withYear = (number: string, year: number) =>
  makePacket([makeDocument('invoice', 'invoice.pdf', { vin: number, vehicle: { year } })], { vehicle: { vin: number } })
const yearOf = (number: string, year: number) => messagesOf(check, withYear(number, year), parameters)
const calls = (...vehicles: NonNullable<DocumentFacts['vehicle']>[]) =>
  makePacket(vehicles.map((vehicle, index) => makeDocument('estimate', `${index}.pdf`, { vehicle })))

/** With its check digit put right. */
function mend(number: string): string {
  return number.slice(0, 8) + checkDigit(number) + number.slice(9)
}

describe('vehicle-matches-vin: the year', () => {
  it('fits by position 10 and 7', () => {
    expect(yearOf(vin, 2022)).toEqual(['year-fits'])
    // 49 CFR 565.15, the sample of table V: position 10 is 5 and position 7 a digit.
    expect(yearOf('1G4AH59H45G118341', 2005)).toEqual(['year-fits'])
    expect(yearOf('1G4AH59H45G118341', 2008)).toEqual(['year-differs'])
  })

  it.each([
    [2021, 'year-fits'],
    [2023, 'year-fits'],
    [2020, 'year-differs'],
    [2025, 'year-differs'],
    [1992, 'year-of-heavy'],
  ])('N with a letter in position 7 beside %i: %s', (year, message) => {
    expect(yearOf(vin, year)).toEqual([message])
  })

  it('proves nothing elsewhere, or where the VIN itself is doubtful', () => {
    const european = `W${vin.slice(1)}`
    expect(yearOf(european, 2022)).toEqual(['year-fits'])
    expect(yearOf(european, 2016)).toEqual(['year-not-coded'])
    expect(yearOf(`${vin.slice(0, 9)}0${vin.slice(10)}`, 2016)).toEqual(['year-not-coded'])
    expect(yearOf(`${vin.slice(0, 16)}7`, 2016)).toEqual(['vin-doubtful'])
    expect(yearOf(`${vin.slice(0, 16)}7`, 2022)).toEqual(['year-fits'])
  })

  it('knows no rule of position 7 in China', () => {
    const chinese = mend(`L${vin.slice(1)}`)
    expect(yearOf(chinese, 1992)).toEqual(['year-fits'])
    expect(yearOf(chinese, 2016)).toEqual(['year-differs'])
  })

  it('takes the VIN of the packet for a file without one, and hears what is declared', () => {
    const invoice = makeDocument('invoice', 'invoice.pdf', { vin: undefined, vehicle: { year: 2016 } })
    const declaration = { vehicle: { year: 2022 } }
    const outcomes = runCheck(check, makePacket([invoice], { declaration }), parameters)
    expect(outcomes.map(({ message, data }) => [message, data.files])).toEqual([
      ['year-differs', ['invoice.pdf']],
      ['year-fits', ['packet.yaml']],
    ])
    expect(outcomes[0]?.working).toHaveLength(2)
  })

  it('says so where no year is stated', () => {
    expect(messagesOf(check, makePacket([makeDocument('invoice', 'invoice.pdf')]), parameters)).toEqual(['no-year'])
  })

  it('fits every year that a code stands for, with the letter or digit of its time in position 7', () => {
    const codes = 'ABCDEFGHJKLMNPRSTVWXY123456789'
    fc.assert(
      fc.property(fc.nat(59), (index) => {
        const seventh = index < 30 ? '5' : 'T'
        const number = mend(`1ZZTE5${seventh}11${codes[index % 30]}B000421`)
        expect(yearOf(number, 1980 + index)).toEqual(['year-fits'])
      }),
    )
  })
})

describe('vehicle-matches-vin: the name', () => {
  it.each([
    [
      { make: 'Tessaly', model: 'Ondine' },
      { make: 'TESSALY', model: 'ONDINE LX' },
    ],
    [
      { make: 'Tessaly', model: 'Ondine' },
      { make: 'Tessaly', model: 'Tessaly Ondine' },
    ],
    [{ make: 'Tessaly', model: 'Ondine' }, { make: 'Tessaly' }],
    [{ make: 'Tessaly', model: 'Ondine' }, { model: 'Ondine,' }],
    [
      { make: 'Tessaly', model: 'T-4 Crew' },
      { make: 'Tessaly Motors', model: 'T4 Crew' },
    ],
    [
      { make: 'Tessaly', model: 'Ondine' },
      { make: 'TSLY', model: 'Ondine' },
    ],
    [{ make: 'Tessaly Ondine' }, { make: 'Tessaly', model: 'Ondine' }],
  ])('%j is %j', (a, b) => {
    expect(messagesOf(check, calls(a, b), parameters)).toEqual(['names-agree'])
  })

  it.each([
    [
      { make: 'Tessaly', model: 'Ondine' },
      { make: 'Tessaly', model: 'Verano' },
    ],
    [
      { make: 'Tessaly', model: 'Ondine' },
      { make: 'Norbeck', model: 'Ondine' },
    ],
  ])('%j is not %j', (a, b) => {
    const [outcome] = runCheck(check, calls(a, a, b), parameters)
    expect(outcome).toMatchObject({ message: 'names-differ', data: { odd: ['2.pdf'], others: ['0.pdf', '1.pdf'] } })
  })

  it('takes no instrument for a vehicle, nor a file that names the vehicle elsewhere for another', () => {
    const ondine = makeDocument('estimate', 'a.pdf', { vehicle: { make: 'Tessaly', model: 'Ondine' } })
    const vehicle = { make: 'Tessaly', model: 'Roadframe 4' }
    const other = (rest: Partial<DocumentFacts>) => makeDocument('calibration', 'b.pdf', { vehicle, ...rest })
    const named = [ondine, other({ instrument: { name: 'Roadframe 4' } })]
    expect(messagesOf(check, makePacket(named), parameters)).toEqual(['names-agree'])
    const content = { 'b.pdf': { lines: [makePlace('2022 ONDINE')], pageNumbers: [], track: null, information: null } }
    expect(messagesOf(check, makePacket([ondine, other({})], { content }), parameters)).toEqual(['names-agree'])
  })
})
