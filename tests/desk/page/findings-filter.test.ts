import { describe, expect, test } from 'vitest'
import { readDriveFacts } from '../../../src/desk/page/logic/drive-facts.ts'
import { filterFindings, stepNumber } from '../../../src/desk/page/logic/findings-filter.ts'
import { packetParts, readPacketAddress, writePacketAddress } from '../../../src/desk/page/logic/packet-address.ts'
import { makeFinding } from '../../report/invented.ts'

const exposure = [{ party: 'shop', to: 'x' }] as const
const findings = [
  makeFinding({ verdict: 'fail', group: 'identity', exposure }),
  makeFinding({ verdict: 'warn', group: 'drive', exposure: [] }),
  makeFinding({ verdict: 'not-checked', group: 'drive', exposure }),
  makeFinding({ verdict: 'pass', group: 'identity', exposure }),
]
const numbers = (group: string | null, party: string | null) => {
  const { open, notChecked, pass } = filterFindings(findings, { group, party })
  return [open, notChecked, pass].map((list) => list.map(({ number }) => number))
}

describe('which findings are listed', () => {
  test('all, by what follows from them, with the numbers of the report', () => {
    expect(numbers(null, null)).toEqual([[1, 2], [3], [4]])
  })
  test('of a group', () => expect(numbers('drive', null)).toEqual([[2], [3], []]))
  test('that expose a party: what holds exposes nobody', () => expect(numbers(null, 'shop')).toEqual([[1], [], []]))
})

test.each([
  [[2, 5, 9], 5, 1, 9],
  [[2, 5, 9], 9, 1, 9],
  [[2, 5, 9], 2, -1, 2],
  [[2, 5, 9], null, 1, 2],
  [[2, 5, 9], 7, -1, 2],
  [[], 7, 1, null],
] as const)('in %j from %j by %i', (list, now, step, next) => {
  expect(stepNumber(list, now, step)).toBe(next)
})

describe('the address of a packet', () => {
  test('what is written is read again', () => {
    for (const part of packetParts) {
      const address = { part, finding: 3, file: 2, group: 'drive', party: 'shop' }
      expect(readPacketAddress(writePacketAddress(address))).toEqual(address)
    }
    expect(writePacketAddress({ part: 'findings', finding: null })).toBe('')
  })

  test.each(['?finding=0', '?finding=-1', '?finding=1e3', '?finding=x', '?part=nowhere'])(
    '%s is as if it were not there',
    (search) => {
      expect(readPacketAddress(search)).toEqual({
        part: 'findings',
        finding: null,
        file: null,
        group: null,
        party: null,
      })
    },
  )
})

describe('what findings say of a drive', () => {
  const band = { calibration: 'front camera, dynamic', file: 'report.pdf', log: 'drive.nmea', least: 25, most: 120 }
  const told = [
    makeFinding({ check: 'drive-speed-in-band', data: band }),
    makeFinding({ check: 'drive-log-continuous', data: { file: 'drive.nmea', gapSeconds: 30 } }),
  ]

  test('the band and the gap of the log that they are about', () => {
    expect(readDriveFacts(told, 'drive.nmea')).toEqual({
      bands: [{ of: 'front camera, dynamic', least: 25, most: 120, finding: 1 }],
      gapSeconds: 30,
      moments: [],
    })
  })

  test('nothing of another log', () => {
    expect(readDriveFacts(told, 'other.gpx')).toEqual({ bands: [], gapSeconds: 60, moments: [] })
  })

  test('moments of what is wrong, and of nothing else', () => {
    const repeats = { file: 'a.gpx', points: 90, firstSeconds: 12, secondSeconds: 300 }
    const about = (verdict: 'fail' | 'pass', data: typeof repeats) =>
      readDriveFacts([makeFinding({ check: 'drive-not-synthetic', group: 'drive', verdict, data })], 'a.gpx').moments
    expect(about('fail', repeats).map(({ second, finding }) => [second, finding])).toEqual([
      [12, 1],
      [300, 1],
    ])
    expect(about('pass', repeats)).toEqual([])
    expect(about('fail', { ...repeats, points: 0 })).toEqual([])
  })

  test('several logs together', () => {
    const both = [makeFinding({ check: 'drive-speed-in-band', data: { ...band, log: ['a.gpx', 'b.gpx'] } })]
    expect(readDriveFacts(both, 'b.gpx').bands).toHaveLength(1)
  })
})
