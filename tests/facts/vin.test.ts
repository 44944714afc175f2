import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  checkDigit,
  checkDigitHolds,
  checkDigitIsMandatory,
  checkDigitRegion,
  compareVins,
  findVins,
  hasForbiddenLetter,
  isVinAlphabet,
  isWellFormedVin,
  lookAlikeRepairs,
  modelYears,
  normaliseVin,
  vinFromPicture,
} from '../../src/facts/vin.ts'
import { anyText, longLine, patience, processorSeconds } from './any-text.ts'

// The sample of 49 CFR 565.15 with its check digit put in; every other VIN here is made up.
const sample = '1G4AH59H45G118341'

const alphabet = [...'ABCDEFGHJKLMNPRSTUVWXYZ0123456789']
const characters = fc.array(fc.constantFrom(...alphabet), { minLength: 17, maxLength: 17 }).map((list) => list.join(''))
const validVin = characters.map((text) => text.slice(0, 8) + checkDigit(text) + text.slice(9))
const roadVin = fc
  .tuple(validVin, fc.integer({ min: 0, max: 9999 }))
  .map(([vin, serial]) => `9Q${vin.slice(2, 13)}${String(serial).padStart(4, '0')}`.replace('Q', 'X'))
  .map((vin) => vin.slice(0, 8) + checkDigit(vin) + vin.slice(9))

describe('check digit', () => {
  test.each([
    ['49 CFR 565.15, sample', '1G4AH59H45G118341', '4'],
    ['an outline published by NHTSA', '1J9RP1A36A1644345', '6'],
    ['the common example with X', '1M8GDM9AXKP042788', 'X'],
    ['seventeen ones, sum 89', '11111111111111111', '1'],
  ])('%s', (_source, vin, digit) => {
    expect(checkDigit(vin)).toBe(digit)
    expect(checkDigitHolds(vin)).toBe(true)
  })

  test('a wrong digit does not hold, and what is no VIN has none', () => {
    expect(checkDigitHolds('1G4AH59H35G118341')).toBe(false)
    for (const text of ['', '1G4AH59H4', 'IG4AH59H45G118341', '1g4ah59h45g118341']) {
      expect(checkDigit(text)).toBeNull()
      expect(checkDigitHolds(text)).toBe(false)
    }
  })

  // Recomputed from the transliteration of 49 CFR 565.15: these share a value, so the digit cannot tell them apart.
  test.each(['8H', 'S2', '1A', 'AJ', '5E', 'EV', '7G', 'U4'])('does not show %s exchanged', (pair) => {
    const [a = '', b = ''] = pair
    expect(checkDigit(`1M8GDM9A0KP04${a}788`)).toBe(checkDigit(`1M8GDM9A0KP04${b}788`))
  })

  test('always shows S/5, B/8, Z/2, G/6 outside position 9', () => {
    const confused: Record<string, string> = { S: '5', B: '8', Z: '2', G: '6', '5': 'S', '8': 'B', '2': 'Z', '6': 'G' }
    fc.assert(
      fc.property(validVin, fc.nat(16), (vin, index) => {
        const other = confused[vin.charAt(index)]
        fc.pre(other !== undefined && index !== 8)
        const misread = vin.slice(0, index) + other + vin.slice(index + 1)
        expect(checkDigitHolds(misread)).toBe(false)
        expect(lookAlikeRepairs(misread).map((repair) => repair.vin)).toContain(vin)
      }),
    )
  })

  test('is mandatory by region of manufacture', () => {
    for (const first of '123457') expect(checkDigitRegion(`${first}XX`)).toBe('north-america')
    expect(checkDigitRegion('LXX')).toBe('china')
    for (const first of 'WVSJK689') expect(checkDigitIsMandatory(`${first}XX`)).toBe(false)
    expect(checkDigitIsMandatory('LXX')).toBe(true)
    expect(checkDigitRegion('')).toBeNull()
  })
})

describe('model year, 49 CFR 565.15(d)', () => {
  test.each([
    ['A', 1980, 2010],
    ['J', 1988, 2018],
    ['Y', 2000, 2030],
    ['1', 2001, 2031],
    ['9', 2009, 2039],
  ])('code %s', (code, early, late) => {
    const withDigit = `1X4AH50H4${code}G118341`
    const withLetter = `1X4AH5AH4${code}G118341`
    expect(modelYears(withDigit).light).toBe(early)
    expect(modelYears(withLetter).light).toBe(late)
    expect(modelYears(withLetter).possible).toEqual([early, late, late + 30])
    expect(modelYears(withLetter).required).toBe(true)
  })

  test('U, Z and 0 are no year codes; other regions need none', () => {
    for (const code of 'UZ0') expect(modelYears(`1X4AH50H4${code}G118341`)).toMatchObject({ possible: [], light: null })
    expect(modelYears('WX4AH50H45G118341').required).toBe(false)
    expect(modelYears('short')).toEqual({ possible: [], light: null, required: false })
  })
})

describe('finding VINs in text', () => {
  test.each([
    ['VIN: 1G4AH59H45G118341'],
    ['vehicle 1G4AH59H45G118341, black'],
    ['*1G4AH59H45G118341*'],
    ['[1G4AH59H45G118341]'],
    ['scan_1G4AH59H45G118341_pre.pdf'],
    ['1g4ah59h45g118341'],
    ['VIN 1G4-AH59H-45G-118341'],
    ['VIN 1G4 AH59H 45G 118341 odometer 48211'],
    ['1G4 AH59H45G 118341'],
    ['V I N : 1 G 4 A H 5 9 H 4 5 G 1 1 8 3 4 1'.replace('V I N', 'VIN')],
    ['bar code I1G4AH59H45G118341'],
  ])('%s', (text) => {
    const [found, ...more] = findVins(text)
    expect(more).toEqual([])
    expect(found?.vin).toBe(sample)
    expect(text.slice(found?.start, found?.end)).toBe(found?.text)
  })

  test.each([
    'BUMPER REPLACEMENT AND PAINT WORK',
    'TRANSPARENTSCREEN REPLACEMENTPARTSX',
    'Serial 12345678901234567',
    '20260314140518123',
    'sha256 1a4bd59f45e11834156ab',
    '1G4AH59H45G11834',
    '1G4AH59H45G1183412',
    'CAL 1234 RADAR 56 7890 12',
    '4120 N MESA ST 80202',
    'XXXXXXXXXXXXX1234',
    '1G4Ah59H45G118341',
  ])('refuses %s', (text) => {
    expect(findVins(text)).toEqual([])
  })

  test('groups without a label need a check digit that holds', () => {
    expect(findVins('1G4 AH59H 35G118341')).toEqual([])
    expect(findVins('1G4 AH59H 35G118341', { isValue: true })).toHaveLength(1)
    expect(findVins('VIN 1G4 AH59H 35G118341')[0]?.labelled).toBe(true)
  })

  test('misprints only on request and behind a label', () => {
    expect(findVins('VIN IG4AH59H45G118341')).toEqual([])
    expect(findVins('ref OG4AH59H45G118341', { misprints: true })).toEqual([])
    expect(findVins('VIN OG4AH59H45G118341', { misprints: true })).toMatchObject([
      { vin: 'OG4AH59H45G118341', wellFormed: false, labelled: true },
    ])
  })

  test('any VIN is found among words, solid or in groups', () => {
    fc.assert(
      fc.property(roadVin, fc.boolean(), (vin, grouped) => {
        const printed = grouped ? `${vin.slice(0, 3)}-${vin.slice(3, 9)}-${vin.slice(9)}` : vin
        expect(findVins(`Vehicle ${printed}, silver`).map((found) => found.vin)).toEqual([vin])
      }),
    )
  })

  test(
    'nothing throws, and 100 kB are read in time',
    () => {
      fc.assert(fc.property(anyText, (text) => Array.isArray(findVins(text))))
      for (const part of ['A1 ', '1G4-', 'VIN ', '1', 'A', '*1G4AH59H45G118341', ' ']) {
        const line = longLine(part)
        expect(processorSeconds(() => findVins(line, { misprints: true }))).toBeLessThan(3)
      }
    },
    patience,
  )
})

describe('comparing', () => {
  test.each([
    [sample, '*1g4 ah59h-45g 118341*', { kind: 'same' }],
    [sample, '1G4AHS9H45G118341', { kind: 'look-alike', position: 6, pair: ['5', 'S'] }],
    [sample, '1G4AH59H4SG118341', { kind: 'look-alike', position: 10, pair: ['5', 'S'] }],
    [sample, '1G4HA59H45G118341', { kind: 'swapped', positions: [4, 5], adjacent: true }],
    [sample, '1G4AH59H45G418311', { kind: 'swapped', positions: [12, 16], adjacent: false }],
    [sample, '1G4AH59H45G118347', { kind: 'look-alike', position: 17, pair: ['1', '7'] }],
    [sample, '1G4AH59H45G118349', { kind: 'different', count: 1, positions: [17] }],
    [sample, '118341', { kind: 'partial', agrees: true, part: 'last', characters: 6 }],
    ['***********118341', sample, { kind: 'partial', agrees: true, part: 'last', characters: 6 }],
    ['XXXXXXXXXXX118341', sample, { kind: 'partial', agrees: true, part: 'last', characters: 6 }],
    [sample, '5G118341', { kind: 'partial', agrees: true, part: 'last', characters: 8 }],
    [sample, '118342', { kind: 'partial', agrees: false, part: 'last', characters: 6 }],
    ['1G4AH59H45G******', sample, { kind: 'partial', agrees: true, part: 'first', characters: 11 }],
    [sample, '341', { kind: 'incomparable' }],
    ['', '', { kind: 'incomparable' }],
  ])('%s with %s', (a, b, expected) => {
    expect(compareVins(a, b)).toEqual(expected)
  })

  test('is symmetric in kind', () => {
    fc.assert(fc.property(characters, characters, (a, b) => compareVins(a, b).kind === compareVins(b, a).kind))
    fc.assert(fc.property(fc.string(), fc.string(), (a, b) => compareVins(a, b).kind === compareVins(b, a).kind))
  })
})

describe('offering repairs', () => {
  test('I, O and Q never stand in a VIN', () => {
    expect(lookAlikeRepairs('IG4AH59H45GII834I')).toEqual([
      {
        vin: sample,
        changes: [1, 12, 13, 17].map((position) => ({ position, from: 'I', to: '1' })),
        checkDigitHolds: true,
      },
    ])
    const [offer] = lookAlikeRepairs('1M8GDM9AXKPO42788')
    expect(offer).toMatchObject({ vin: '1M8GDM9AXKP042788', changes: [{ position: 12, from: 'O', to: '0' }] })
  })

  test('offers nothing for a VIN that is right, too short, or too long', () => {
    for (const text of [sample, 'IG4AH', `${sample}I`, '']) expect(lookAlikeRepairs(text)).toEqual([])
  })

  test('offers only well-formed VINs', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom(...alphabet, 'I', 'O', 'Q'), minLength: 17, maxLength: 17 }),
        (text) => {
          for (const repair of lookAlikeRepairs(text)) {
            expect(isWellFormedVin(repair.vin)).toBe(true)
            expect(repair.checkDigitHolds).toBe(checkDigitHolds(repair.vin))
            for (const { position, from, to } of repair.changes) {
              expect(text.charAt(position - 1)).toBe(from)
              expect(repair.vin.charAt(position - 1)).toBe(to)
            }
          }
        },
      ),
    )
  })
})

test('normalising and the alphabet', () => {
  expect(normaliseVin(' *1g4-ah59h 45g·118341* ')).toBe(sample)
  expect(isVinAlphabet('118341')).toBe(true)
  for (const text of ['', 'I', 'O1', '1Q', 'a', '1-2']) expect(isVinAlphabet(text)).toBe(false)
  expect(hasForbiddenLetter('1o')).toBe(true)
  fc.assert(fc.property(fc.string(), (text) => normaliseVin(normaliseVin(text)) === normaliseVin(text)))
})

describe('out of a picture', () => {
  test('is the VIN whose check digit holds, with digits for letters that none holds', () => {
    // The number that the check digit of 49 CFR 565.15 is often explained by (from memory).
    expect(vinFromPicture('1M8GDM9AXKP042788')).toBe('1M8GDM9AXKP042788')
    expect(vinFromPicture('1M8GDM9AXKPO42788')).toBe('1M8GDM9AXKP042788')
    expect(vinFromPicture('IM8GDM9AXKPQ42788')).toBe('1M8GDM9AXKP042788')
  })

  test('is none where the check digit does not hold, or the number is in part', () => {
    for (const text of ['1M8GDM9AXKP042789', '1M8GDM9AXKPU42788', '042788', '1M8GDM9AXKP0427888', ''])
      expect(vinFromPicture(text)).toBeNull()
  })

  test('is never one that differs in a single character of another value', () => {
    fc.assert(
      fc.property(validVin, fc.integer({ min: 0, max: 16 }), fc.constantFrom(...alphabet), (vin, at, letter) => {
        const misread = vin.slice(0, at) + letter + vin.slice(at + 1)
        const told = vinFromPicture(misread)
        if (checkDigit(misread) !== misread.charAt(8)) expect(told).toBeNull()
        else expect(told).toBe(misread)
      }),
    )
  })
})
