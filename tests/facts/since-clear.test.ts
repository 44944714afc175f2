/**
 * Status bytes: the bits of ISO 14229-1, from public descriptions. PIDs: service 01 of SAE J1979 / ISO 15031-5, from memory:
 * 31 is 256 A + B km, 30 is A warm-ups, 4E is 256 A + B minutes since codes were cleared.
 */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { decodeSinceClear, readSinceClear, testStateFromByte, testStateFromWords } from '../../src/facts/since-clear.ts'

test.each([
  ['2F', 'completed'],
  ['08', 'completed'],
  ['24', 'completed'],
  ['50', 'not-since-clear'],
  ['40', 'not-this-cycle'],
  ['10', 'not-since-clear'],
  ['', null],
  ['1FF', null],
])('status byte %s: %s', (byte, state) => {
  expect(testStateFromByte(byte)).toBe(state)
})

test('bit 4 rules, then bit 6, and no other bit matters', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 255 }), (byte) => {
      const want = (byte & 0x10) !== 0 ? 'not-since-clear' : (byte & 0x40) !== 0 ? 'not-this-cycle' : 'completed'
      expect(testStateFromByte(byte)).toBe(want)
    }),
  )
})

test.each([
  ['test not completed since clear', 'not-since-clear'],
  ['Test not completed since last clear', 'not-since-clear'],
  ['testNotCompletedSinceLastClear'.replace(/([A-Z])/g, ' $1'), 'not-since-clear'],
  ['not tested since codes were cleared', 'not-since-clear'],
  ['Cleared, not re-tested', 'not-since-clear'],
  ['not tested this cycle', 'not-this-cycle'],
  ['test not completed this operation cycle', 'not-this-cycle'],
  ['not run', 'not-this-cycle'],
  ['test completed', 'completed'],
  ['tested since clear', 'completed'],
  ['Failed since codes cleared', null],
  ['not present', null],
  ['Signal not run through the gateway', null],
])('%s: %s', (words, state) => {
  expect(testStateFromWords(words)).toBe(state)
})

test.each<[number, number[], object | null]>([
  [0x31, [0x01, 0x2c], { metres: 300_000 }],
  [0x31, [0xff, 0xff], { metres: 65_535_000 }],
  [0x30, [5], { cycles: 5 }],
  [0x4e, [0x01, 0x00], { minutes: 256 }],
  [0x31, [0x01], null],
  [0x0d, [0x01, 0x2c], null],
  [0x31, [1, 256], null],
])('PID %i with %j', (pid, bytes, want) => {
  expect(decodeSinceClear(pid, bytes)).toEqual(want)
})

test.each<[string, object | null]>([
  ['PID 31: 01 2C', { metres: 300_000 }],
  ['PID 0x31 distance since codes cleared: 01 2C', { metres: 300_000 }],
  ['Distance since codes cleared   3 km', { metres: 3000 }],
  ['Distance since DTC cleared: 2 mi', { metres: 3219 }],
  ['3 km since codes cleared', { metres: 3000 }],
  ['Km since clear: 0', { metres: 0 }],
  ['Warm-ups since codes cleared: 1', { cycles: 1 }],
  ['Ignition cycles since clear  6', { cycles: 6 }],
  ['12 warm-up cycles since codes were cleared', { cycles: 12 }],
  ['Time since codes cleared: 12 min', { minutes: 12 }],
  ['Minutes since clearing of codes: 45', { minutes: 45 }],
  ['Time since codes cleared: 1.5 h', { minutes: 90 }],
  ['Distance since last service: 3 km', null],
  ['Freeze frame: Ignition cycles since 6', null],
  ['Distance since codes cleared', null],
  ['Distance since codes cleared: 3', null],
  ['Codes cleared 2026-10-20', null],
])('%s', (line, want) => {
  const told = readSinceClear(line)
  expect(told === null ? null : { ...told, text: undefined }).toEqual(want)
})
