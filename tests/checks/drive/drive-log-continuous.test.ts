import { expect, it } from 'vitest'
import { driveLogContinuous as check } from '../../../src/checks/drive/drive-log-continuous.ts'
import type { Track, TrackPoint } from '../../../src/facts/reading.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { cruising, departure, packetOfTrack, simulateDrive, townAndCountry, trackOf } from './tracks.ts'

const parameters = generalParameters('drive-log-continuous')
const messageOf = (track: Track) => messagesOf(check, packetOfTrack(track), parameters)[0]
const drive = simulateDrive(cruising, { seed: 1 })
/** The drive without the seconds from one to the other. */
const without = (...gaps: [from: number, to: number][]) =>
  trackOf(
    drive.points.filter(
      ({ time }) => !gaps.some(([from, to]) => (time ?? 0) - departure > from && (time ?? 0) - departure < to),
    ),
  )

it('is met by a log without gaps, at any rate from one point in ten seconds on', () => {
  expect(messageOf(drive)).toBe('continuous')
  for (const rate of [5, 0.2, 0.1]) expect(messageOf(simulateDrive(cruising, { seed: 2, rate }))).toBe('continuous')
  expect(messageOf(without([100, 158]))).toBe('continuous')
})

it('is unmet by gaps, and in stronger words where they cover more than half', () => {
  const [outcome] = runCheck(check, packetOfTrack(without([100, 200], [400, 520])), parameters)
  expect(outcome).toMatchObject({ state: 'unmet', message: 'gaps', data: { gaps: 2, longestSeconds: 120 } })
  expect(outcome?.data.lostMinutes).toBeCloseTo(220 / 60, 9)
  expect(messageOf(without([100, 549]))).toBe('gaps')
  expect(messageOf(without([100, 560]))).toBe('mostly-gaps')
  expect(messageOf(without([50, 300], [400, 650]))).toBe('mostly-gaps')
})

it('is unmet by a sparse log', () => {
  expect(messageOf(simulateDrive(cruising, { seed: 3, rate: 1 / 12 }))).toBe('sparse')
})

it('is unmet by a clock that runs back', () => {
  const back = drive.points.map(
    (point, at): TrackPoint => ({ ...point, time: (point.time ?? 0) - (at > 400 ? 30 : 0) }),
  )
  const [outcome] = runCheck(check, packetOfTrack(trackOf(back)), parameters)
  expect(outcome).toMatchObject({ message: 'runs-back', data: { backSeconds: 29, times: 1 } })
})

it('takes a logger that pauses at a stop for what it is', () => {
  const town = simulateDrive([...townAndCountry, [300, 0], ...townAndCountry], { seed: 4 })
  const at = ({ time }: TrackPoint) => (time ?? 0) - departure
  const paused = trackOf(town.points.filter((point) => at(point) < 815 || at(point) > 1105))
  expect(messageOf(paused)).toBe('continuous')
  const bus = trackOf(paused.points.map(({ time, speed }) => ({ time, ...(speed === undefined ? {} : { speed }) })))
  expect(messageOf(bus)).toBe('continuous')
})

it('looks at the part of the calibration, where the timeline places it', () => {
  const record = makeDocument('calibration', 'cal.pdf', {
    calibrations: [{ sensor: 'front-radar', position: null, method: 'dynamic', outcome: 'completed' }],
  })
  const event = (from: string, to: string) => makeEvent('calibration-1', from, to, { file: 'cal.pdf', calibration: 0 })
  const at = (from: string, to: string) =>
    messagesOf(check, packetOfTrack(without([100, 300]), [record], { events: [event(from, to)] }), parameters)
  expect(at('2026-06-10T15:06:00Z', '2026-06-10T15:14:00Z')).toEqual(['continuous'])
  expect(at('2026-06-10T15:00:30Z', '2026-06-10T15:14:00Z')).toEqual(['gaps'])
  expect(at('2026-06-10T15:03:00Z', '2026-06-10T15:07:00Z')).toEqual(['mostly-gaps'])
})

it('is undecided without times, and does not apply without a log', () => {
  expect(messageOf(trackOf(drive.points.map((point) => ({ ...point, time: null }))))).toBe('no-times')
  expect(messagesOf(check, makePacket([]), parameters)).toEqual(['no-log'])
})
