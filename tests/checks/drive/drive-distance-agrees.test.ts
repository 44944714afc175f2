import { expect, it } from 'vitest'
import { driveDistanceAgrees as check } from '../../../src/checks/drive/drive-distance-agrees.ts'
import { drivenMetres } from '../../../src/facts/motion.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makeEvent, makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { cruising, dynamicRecord, logDocument, packetOfTrack, simulateDrive, trackOf } from './tracks.ts'

const parameters = generalParameters('drive-distance-agrees')
/** A quarter of an hour at 100 km/h: 25 km. */
const drive = simulateDrive(cruising, { seed: 1 })
const metres = drivenMetres(drive.points) ?? 0

const packetWith = (
  distanceMetres: number | undefined,
  span: readonly [string, string] | null = null,
  track = drive,
) => {
  const { document, events } = dynamicRecord(distanceMetres === undefined ? {} : { distanceMetres }, span)
  return packetOfTrack(track, [document], { events })
}
const messageOf = (...parts: Parameters<typeof packetWith>) => messagesOf(check, packetWith(...parts), parameters)[0]
/** Its own times: the log lies within the calibration and cannot be the longer one. */
const whole = ['14:59:00', '15:20:00'] as const
/** The log covers it. */
const inside = ['15:02:00', '15:10:00'] as const

it('measures what was driven', () => {
  expect(Math.abs(metres / 25_000 - 1)).toBeLessThan(0.02)
})

it('is met where they agree, with both distances', () => {
  const [outcome] = runCheck(check, packetWith(24_500, whole), parameters)
  expect(outcome).toMatchObject({ state: 'met', message: 'agree', data: { statedKilometres: 24.5 } })
  expect(outcome?.data.loggedKilometres).toBeCloseTo(metres / 1000, 9)
  expect(messageOf(24_500, whole, simulateDrive(cruising, { seed: 1, positions: false }))).toBe('agree')
})

it('is unmet beyond a fifth and a mile, in weaker words beyond a tenth and half a mile', () => {
  expect(messageOf(metres / 0.78, whole)).toBe('disagree')
  expect(messageOf(metres * 0.78, whole)).toBe('disagree')
  expect(messageOf(metres / 0.88, whole)).toBe('differ')
  expect(messageOf(metres * 0.92, whole)).toBe('agree')
  const short = trackOf(drive.points.slice(0, 60))
  const [shortMetres] = [drivenMetres(short.points) ?? 0]
  expect(messageOf(shortMetres + 790, null, short)).toBe('agree')
  expect(messageOf(shortMetres + 900, null, short)).toBe('differ')
})

it('lets a log be longer where it covers the calibration or cannot tell, and never shorter', () => {
  expect(messageOf(8000, inside)).toBe('long-enough')
  expect(messageOf(40_000, inside)).toBe('disagree')
  const untimed = trackOf(drive.points.map((point) => ({ ...point, time: null })))
  expect(messageOf(8000, whole, untimed)).toBe('long-enough')
  expect(messageOf(40_000, whole, untimed)).toBe('disagree')
})

it('adds up a drive that is logged in parts', () => {
  const parts = [drive.points.slice(0, 450), drive.points.slice(450)].map((points) => trackOf(points))
  const { document, events } = dynamicRecord({ distanceMetres: metres }, whole)
  const content = (track: (typeof parts)[number]) => ({ lines: [], pageNumbers: [], track, information: null })
  const logs = parts.map((track, at) => logDocument(`log-${at}.gpx`, track))
  const drives = logs.map(({ file }, at) => makeEvent(`drive-${at + 1}`, null, null, { file }))
  const packet = makePacket([document, ...logs], {
    events: [...events, ...drives],
    content: Object.fromEntries(parts.map((track, at) => [`log-${at}.gpx`, content(track)])),
  })
  expect(messagesOf(check, packet, parameters)).toEqual(['agree'])
})

it('takes the drive that a record of one calibration states', () => {
  const drove = {
    started: null,
    ended: null,
    durationSeconds: null,
    distanceMetres: 40_000,
    points: 0,
    movingSeconds: null,
    meanSpeedKmh: null,
    maxSpeedKmh: null,
    start: null,
    end: null,
  }
  const { document, events } = dynamicRecord({}, whole)
  const packet = packetOfTrack(drive, [{ ...document, drive: drove }], { events })
  expect(messagesOf(check, packet, parameters)).toEqual(['disagree'])
})

it('is undecided where one of the two is missing, and does not apply without a dynamic calibration', () => {
  expect(messageOf(undefined)).toBe('not-stated')
  const { document, events } = dynamicRecord({ distanceMetres: 9000 })
  expect(messagesOf(check, makePacket([document], { events }), parameters)).toEqual(['not-logged'])
  expect(messagesOf(check, makePacket([makeDocument('invoice', 'bill.pdf')]), parameters)).toEqual(['no-dynamic'])
})
