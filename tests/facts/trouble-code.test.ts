import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  calibrationBearing,
  decodeBytes,
  decodeStatusByte,
  encodeBytes,
  failureTypeCategory,
  failureTypeIsCalibration,
  failureTypeMeaning,
  findTroubleCodes,
  formatTroubleCode,
  isWellFormedCode,
  parseTroubleCode,
  statusFromByte,
  statusFromWords,
} from '../../src/facts/trouble-code.ts'

const written = (text: string, options = {}) => findTroubleCodes(text, options).map(formatTroubleCode)

import { anyText, longLine, patience, processorSeconds } from './any-text.ts'

describe('bytes', () => {
  // Recomputed from the bit layout of SAE J2012 / ISO 15031-6.
  test.each([
    ['0143', 'P0143'],
    ['4420', 'C0420'],
    ['96A1', 'B16A1'],
    ['C155', 'U0155'],
    ['D23A', 'U123A'],
    ['C1 55 87', 'U0155-87'],
    ['0xC15587', 'U0155-87'],
    ['c15587h', 'U0155-87'],
    ['0xC1 0x55 0x87 0x2F', 'U0155-87'],
  ])('%s is %s', (hex, code) => {
    const decoded = decodeBytes(hex)
    expect(decoded && formatTroubleCode(decoded)).toBe(code)
  })

  test('every code of three bytes goes there and back', () => {
    fc.assert(
      fc.property(fc.array(fc.nat(255), { minLength: 2, maxLength: 3 }), (bytes) => {
        const code = decodeBytes(bytes)
        expect(code && isWellFormedCode(code.code)).toBe(true)
        expect(code && encodeBytes(code)).toEqual(bytes)
        expect(code && parseTroubleCode(formatTroubleCode(code))).toEqual(code)
      }),
    )
  })

  test('what are no two to four bytes is no code', () => {
    for (const hex of ['', 'C1', 'C155875', 'C1558 7X', 'U0155', 'C1 55 87 2F 00']) expect(decodeBytes(hex)).toBeNull()
    for (const bytes of [[], [1], [256, 0], [1.5, 2], [-1, 0], [1, 2, 3, 4, 5]]) expect(decodeBytes(bytes)).toBeNull()
    expect(encodeBytes({ code: 'X0155', failureType: null })).toBeNull()
    expect(encodeBytes({ code: 'U0155', failureType: 'G1' })).toBeNull()
  })
})

describe('a text that is one code', () => {
  test.each([
    ['U0155-87', 'U0155-87'],
    ['U0155:87', 'U0155-87'],
    ['U0155 87', 'U0155-87'],
    ['U0155/87', 'U0155-87'],
    ['U015587', 'U0155-87'],
    ['U0155 (87)', 'U0155-87'],
    ['U0155-87h', 'U0155-87'],
    ['U0155-87-2F', 'U0155-87'],
    ['C1A41-78', 'C1A41-78'],
    ['P0143', 'P0143'],
    [' u0155-4a ', 'U0155-4A'],
  ])('%s', (text, code) => {
    const parsed = parseTroubleCode(text)
    expect(parsed && formatTroubleCode(parsed)).toBe(code)
  })

  test.each(['', 'U4155', 'X0155', 'U015', 'U0155-8', 'U0155-556-A', 'U0155 lost', 'P01G3', 'U01558'])(
    'not %s',
    (text) => {
      expect(parseTroubleCode(text)).toBeNull()
    },
  )
})

describe('codes in running text', () => {
  test.each([
    ['Front radar  C1A41-78  alignment incorrect  CURRENT', ['C1A41-78']],
    ['U0155-87, U0155:87; U0155/87 u0155 87 U015587', ['U0155-87', 'U0155-87', 'U0155-87', 'U0155-87', 'U0155-87']],
    ['(U0155-87) lost communication', ['U0155-87']],
    ['P0171/P0174 lean', ['P0171', 'P0174']],
    ['P0143: sensor low', ['P0143']],
    ['P0143-Sensor low', ['P0143']],
    ['DTC:B1A98 stored', ['B1A98']],
    ['U0155 (87) stored', ['U0155-87']],
    ['U0155-87-2F active', ['U0155-87']],
    ['U0155/87/2F', ['U0155-87']],
    ['C1A41-78/ACT', ['C1A41-78']],
    ['C1A41 FTB 78', ['C1A41-78']],
    ['C1A41 0x78', ['C1A41-78']],
    ['C1A41 78h', ['C1A41-78']],
    ['code #C1A41-54', ['C1A41-54']],
    ['C0420 14-MAR-2026', ['C0420']],
    ['C0420 22 Sep 2026', ['C0420']],
    ['C0420 10:22', ['C0420']],
    ['C0420 12.6 V', ['C0420']],
    ['C0420 12 km', ['C0420']],
    ['C0420 DC converter', ['C0420']],
    ['C0420 2026', ['C0420']],
  ])('%s', (text, codes) => {
    expect(written(text)).toEqual(codes)
    for (const { start, end, text: own } of findTroubleCodes(text)) expect(text.slice(start, end)).toBe(own)
  })

  test.each([
    'part P1204-556-A',
    'P1204-556-A',
    'B1234-56-A bracket',
    'Job C0417',
    'RO C0417',
    'RO-C0417',
    'Job no. C0417',
    'Job number: C0417',
    'serial B1234-5678',
    'S/N B1234',
    'Plate C0417',
    'scan_P0143',
    'C0417-10-2026',
    'XP0143',
    'P01435',
    'P0143A',
    'B12345678',
    '#C0417',
    'C0417.5',
    'plate no: C0417',
  ])('refuses %s', (text) => {
    expect(written(text)).toEqual([])
  })

  test('how strict', () => {
    expect(written('Job C0417', { strictness: 'loose' })).toEqual(['C0417'])
    expect(written('Beige C0417 trim', { strictness: 'usual' })).toEqual(['C0417'])
    expect(written('Beige C0417 trim', { strictness: 'strict' })).toEqual([])
    expect(written('C0417 stored', { strictness: 'strict' })).toEqual(['C0417'])
    expect(written('C0417-54', { strictness: 'strict' })).toEqual(['C0417-54'])
    expect(written('C0417 54', { spacedFailureType: false })).toEqual(['C0417'])
  })

  test('every code is found however it is printed among words', () => {
    const code = fc.tuple(fc.nat(0xffff), fc.nat(255)).map(([a, b]) => decodeBytes([a >> 8, a & 255, b]))
    fc.assert(
      fc.property(code, fc.constantFrom('-', ':', '/'), fc.boolean(), (one, mark, lower) => {
        const printed = `${one?.code}${mark}${one?.failureType}`
        const line = `Module 3 | ${lower ? printed.toLowerCase() : printed} | text`
        expect(findTroubleCodes(line)).toMatchObject([{ code: one?.code, failureType: one?.failureType }])
      }),
    )
  })

  test(
    'nothing throws, and 100 kB are read in time',
    () => {
      const letters = fc.string({ unit: fc.constantFrom(...'PCBU0123AF-:/ .#()\u00a0é'), maxLength: 80 })
      fc.assert(
        fc.property(fc.oneof(letters, anyText), (text) => {
          let last = 0
          for (const found of findTroubleCodes(text)) {
            expect(found.start).toBeGreaterThanOrEqual(last)
            expect(isWellFormedCode(found.code)).toBe(true)
            last = found.end
          }
        }),
      )
      for (const part of ['U0155', 'U0155-', 'U0155 ', 'P', 'part ', 'Job : # ', 'P0171/']) {
        const line = longLine(part)
        const work = () => [
          findTroubleCodes(line, { strictness: 'strict' }),
          statusFromWords(line),
          parseTroubleCode(line),
        ]
        expect(processorSeconds(work)).toBeLessThan(3)
      }
    },
    patience,
  )
})

describe('failure types', () => {
  // Public listings of SAE J2012-DA agree on these.
  test.each([
    ['00', 'no further information'],
    ['54', 'missing calibration'],
    ['55', 'not configured'],
    ['76', 'wrong mounting position'],
    ['78', 'alignment or adjustment incorrect'],
    ['87', 'missing message'],
    ['4a', 'incorrect component installed'],
  ])('%s', (type, meaning) => {
    expect(failureTypeMeaning(type)).toBe(meaning)
  })

  test('category by the high digit', () => {
    expect(['08', '16', '4B', '54', '78', '87', '92'].map(failureTypeCategory)).toEqual([
      'general failure',
      'general electrical failure',
      'system internal failure',
      'system programming failure',
      'mechanical failure',
      'bus signal or message failure',
      'component failure',
    ])
    expect(failureTypeCategory('F0')).toBeNull()
    expect(failureTypeMeaning('1F')).toBeNull()
  })

  test('bearing on calibration', () => {
    const bearing = ['54', '46', '78', '51', '55', '56', '76', '95', '97', '87', '11', '00'].map(calibrationBearing)
    expect(bearing).toEqual([
      'calibration',
      'calibration',
      'calibration',
      'configuration',
      'configuration',
      'configuration',
      'mounting',
      'mounting',
      'view',
      null,
      null,
      null,
    ])
    expect(failureTypeIsCalibration('54')).toBe(true)
    expect(failureTypeIsCalibration('87')).toBe(false)
  })
})

describe('status', () => {
  // Recomputed from the bit names of ISO 14229-1, annex D.
  test.each([
    ['2F', 'active'],
    ['08', 'stored'],
    ['24', 'pending'],
    ['50', 'unknown'],
    ['09', 'active'],
    ['2C', 'confirmed'],
    ['00', 'unknown'],
    ['zz', 'unknown'],
  ])('byte %s is %s', (byte, status) => {
    expect(statusFromByte(byte)).toBe(status)
  })

  test('bits by name', () => {
    expect(decodeStatusByte(0x50)).toMatchObject({
      testNotCompletedSinceClear: true,
      testNotCompletedThisCycle: true,
      testFailed: false,
    })
    expect(decodeStatusByte('0x2F')).toMatchObject({ testFailed: true, confirmed: true, testFailedSinceClear: true })
    expect(decodeStatusByte(0x80)?.warningIndicatorRequested).toBe(true)
    for (const none of [256, -1, 1.5, 'G1', '']) expect(decodeStatusByte(none)).toBeNull()
  })

  // Common practice, no source.
  test.each([
    ['Current', 'active'],
    ['ACTIVE', 'active'],
    ['Active now', 'active'],
    ['Present', 'active'],
    ['failing', 'active'],
    ['now', 'active'],
    ['CUR', 'active'],
    ['ACT', 'active'],
    ['confirmed, active', 'active'],
    ['current / intermittent', 'active'],
    ['active and confirmed', 'active'],
    ['Confirmed', 'confirmed'],
    ['CNF', 'confirmed'],
    ['logged', 'confirmed'],
    ['confirmed, pending', 'confirmed'],
    ['History', 'stored'],
    ['HIS', 'stored'],
    ['HST', 'stored'],
    ['past', 'stored'],
    ['stored', 'stored'],
    ['Inactive', 'stored'],
    ['passive', 'stored'],
    ['previous', 'stored'],
    ['sporadic', 'stored'],
    ['intermittent', 'stored'],
    ['Not present', 'stored'],
    ['no longer present', 'stored'],
    ['not currently active', 'stored'],
    ['non-active', 'stored'],
    ["isn't present", 'stored'],
    ['previously active', 'stored'],
    ['test failed', 'active'],
    ['failed since clear', 'unknown'],
    ['Active: no', 'stored'],
    ['not active, pending', 'pending'],
    ['not active, confirmed', 'stored'],
    ['confirmed / history', 'stored'],
    ['confirmed, not present', 'stored'],
    ['Pending', 'pending'],
    ['PND', 'pending'],
    ['maturing', 'pending'],
    ['pending, not confirmed', 'pending'],
    ['Permanent', 'permanent'],
    ['PRM', 'permanent'],
    ['Presente', 'active'],
    ['no presente', 'stored'],
    ['Histórica', 'stored'],
    ['confirmado', 'confirmed'],
    ['Pendiente', 'pending'],
    ['', 'unknown'],
    ['OK', 'unknown'],
    ['no codes stored', 'unknown'],
    ['no DTC present', 'unknown'],
    ['current sensor', 'unknown'],
    ['active cruise', 'unknown'],
    ['not confirmed', 'unknown'],
  ])('%s is %s', (words, status) => {
    expect(statusFromWords(words)).toBe(status)
  })
})
