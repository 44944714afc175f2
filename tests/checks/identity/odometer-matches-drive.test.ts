import fc from 'fast-check'
import { expect, it } from 'vitest'
import { odometerMatchesDrive as check } from '../../../src/checks/identity/odometer-matches-drive.ts'
import { drivenMetres } from '../../../src/facts/motion.ts'
import { packetOfTrack, simulateDrive, trackOf } from '../drive/tracks.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

const parameters = generalParameters('odometer-matches-drive')
const drive = simulateDrive([[1000, 100]], { seed: 1, rate: 0.2 })
// 1 mile is 1609.344 m (international yard and pound agreement, 1959).
const miles = (drivenMetres(drive.points) ?? 0) / 1609.344

type Reading = readonly [value: number, unit: 'mi' | 'km' | null]

function packetWith(before: Reading | null, after: Reading | null, track = drive) {
  const read = (kind: 'pre-scan' | 'post-scan', reading: Reading | null) =>
    reading === null ? [] : [makeDocument(kind, `${kind}.pdf`, { odometer: { value: reading[0], unit: reading[1] } })]
  return packetOfTrack(track, [...read('pre-scan', before), ...read('post-scan', after)], {
    events: [
      makeEvent('pre-scan-1', '2026-06-10T12:00:00Z', '2026-06-10T12:05:00Z', { file: 'pre-scan.pdf' }),
      makeEvent('post-scan-1', '2026-06-10T16:00:00Z', '2026-06-10T16:05:00Z', { file: 'post-scan.pdf' }),
    ],
  })
}
const messageOf = (...parts: Parameters<typeof packetWith>) => messagesOf(check, packetWith(...parts), parameters)[0]

it('is met where the odometer rises by the drive, or by more', () => {
  expect(Math.abs(miles - 17.2)).toBeLessThan(0.4)
  const [outcome] = runCheck(check, packetWith([31_400, 'mi'], [31_417, 'mi']), parameters)
  expect(outcome).toMatchObject({ state: 'met', message: 'matches' })
  expect(outcome?.data.risenMiles).toBeCloseTo(17, 9)
  expect(outcome?.evidence.map((place) => place.text)).toContain('31417 mi')
  expect(messageOf([31_400, 'mi'], [31_416, 'mi'])).toBe('matches')
  expect(messageOf([31_400, 'mi'], [31_440, 'mi'])).toBe('room-left')
  expect(messageOf([50_000, 'km'], [50_028, 'km'])).toBe('matches')
})

it('is unmet where it rises by less', () => {
  expect(messageOf([31_400, 'mi'], [31_400, 'mi'])).toBe('short')
  expect(messageOf([31_400, 'mi'], [31_412, 'mi'])).toBe('short')
  expect(messageOf([31_400, 'mi'], [31_414, 'mi'])).toBe('a-little-short')
  expect(messageOf([50_000, 'km'], [50_018, 'km'])).toBe('short')
})

it('leaves an odometer that runs back to the check for that', () => {
  expect(messageOf([31_400, 'mi'], [31_380, 'mi'])).toBe('runs-back')
})

it('is undecided without two readings with a unit on either side of the drive, and without a log', () => {
  expect(messageOf([31_400, 'mi'], null)).toBe('no-pair')
  expect(messageOf(null, [31_400, 'mi'])).toBe('no-pair')
  expect(messageOf([31_400, null], [31_400, null])).toBe('no-pair')
  const elapsed = trackOf(drive.points, { clock: 'elapsed' })
  expect(messageOf([31_400, 'mi'], [31_400, 'mi'], elapsed)).toBe('no-pair')
  expect(messageOf([31_400, 'mi'], [31_400, 'mi'], trackOf([]))).toBe('not-logged')
  expect(messagesOf(check, makePacket([]), parameters)).toEqual(['not-logged'])
})

it('is never held against a drive whose rise the odometer shows, whatever the unit', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 300_000 }), fc.constantFrom('mi', 'km'), (start, unit) => {
      const rise = unit === 'mi' ? miles : miles * 1.609344
      // Both readings are cut off to whole units, as an odometer does.
      const [before, after] = [Math.floor(start + 0.9), Math.floor(start + 0.9 + rise)]
      expect(['matches', 'room-left']).toContain(messageOf([before, unit], [after, unit]))
    }),
    { numRuns: 30 },
  )
})
