import { expect, it } from 'vitest'
import { driveStartsAtShop as check } from '../../../src/checks/drive/drive-starts-at-shop.ts'
import type { Track } from '../../../src/facts/reading.ts'
import { generalParameters } from '../general.ts'
import { makePacket } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'
import { cruising, packetOfTrack, shopPosition, simulateDrive, trackOf } from './tracks.ts'

const parameters = generalParameters('drive-starts-at-shop')
const messageOf = (track: Track, location?: readonly [number, number]) =>
  messagesOf(check, packetOfTrack(track, [], { declaration: { shop: location ? { location } : {} } }), parameters)[0]
const away = simulateDrive(cruising, { seed: 1 })

it('is met by a drive that starts or ends at the shop', () => {
  expect(messageOf(away, shopPosition)).toBe('at-shop')
  const home = trackOf(
    away.points.map((point, at) => ({ ...point, time: away.points[away.points.length - 1 - at]?.time ?? 0 })).reverse(),
  )
  expect(messageOf(home, shopPosition)).toBe('at-shop')
  expect(messageOf(away, [shopPosition[0] + 0.04, shopPosition[1]])).toBe('at-shop')
})

it('is unmet by one that does neither, with both distances', () => {
  // GDA technical manual: Flinders Peak to Buninyong, 54972.271 m.
  const track = trackOf([
    { time: 0, latitude: -37.95103342, longitude: 144.42486789 },
    { time: 60, latitude: -37.95103342, longitude: 144.42486789 },
  ])
  const location = [-37.65282114, 143.92649553] as const
  const [outcome] = runCheck(check, packetOfTrack(track, [], { declaration: { shop: { location } } }), parameters)
  expect(outcome).toMatchObject({ state: 'unmet', message: 'elsewhere' })
  expect(outcome?.data.startKilometres).toBeCloseTo(54.972271, 5)
  expect(messageOf(away, [shopPosition[0] - 1, shopPosition[1]])).toBe('elsewhere')
})

it('is undecided without the shop’s place, without positions and without a log; it does not guess', () => {
  expect(messageOf(away)).toBe('no-location')
  expect(messagesOf(check, packetOfTrack(away), parameters)).toEqual(['no-location'])
  expect(messageOf(simulateDrive(cruising, { seed: 1, positions: false }), shopPosition)).toBe('no-position')
  expect(messagesOf(check, makePacket([]), parameters)).toEqual(['no-log'])
})
