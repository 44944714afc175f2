import { describe, expect, it } from 'vitest'
import { expandTabs, readPlainText, withoutRules } from '../../src/reading/plain-text.ts'
import { allText, bytesOf, codesOf, hint, printedLines, trackOf, utc } from './text-reading.ts'

const read = (text: string) => readPlainText(bytesOf(text), hint)

describe('on the grid', () => {
  it('sets tabs to stops of 8', () => {
    expect(expandTabs('a\tb\tc')).toBe('a       b       c')
    expect(expandTabs('1234567\tx')).toBe('1234567 x')
    expect(expandTabs('12345678\tx')).toBe('12345678        x')
  })

  it('keeps aligned columns where they stand', () => {
    const text = 'MODULE          STATE     CODES\nForward camera  fault     C1A67\nABS             ok\n'
    expect(printedLines(read(text))).toEqual([
      'MODULE          STATE     CODES',
      'Forward camera  fault     C1A67',
      'ABS             ok',
    ])
  })

  it('opens a page at every form feed, not after the last', () => {
    const reading = read('one\n\ftwo\nlines\n\f')
    expect(reading.pages.map((page) => page.number)).toEqual([1, 2])
    expect(printedLines(reading, 1)).toEqual(['two', 'lines'])
    expect(reading.pageCount).toBe(2)
  })

  it.each([
    ['VIN ........ 5W9', 'VIN          5W9'],
    ['VIN........5W9', 'VIN        5W9'],
    ['VIN . . . . 5W9', 'VIN         5W9'],
    ['====== RESULT ======', '       RESULT       '],
    ['-----+-----', '           '],
    ['| Radar | C1A67 |', '  Radar   C1A67  '],
    ['│ Radar │ C1A67 │', '  Radar   C1A67  '],
    ['Signed ________', 'Signed         '],
    ['limits -1.5 ... 1.5 deg', 'limits -1.5 ... 1.5 deg'],
    ['limits 1240 … 1260 mm', 'limits 1240 … 1260 mm'],
    ['Codes ... 3', 'Codes     3'],
  ])('blanks what only guides the eye: %s', (line, expected) => {
    expect(withoutRules(line)).toBe(expected)
  })

  it.each(['value --', '12.5 -- 13', 'a...', 'C1A67-54', '-0.25', '* note'])('keeps %s', (line) => {
    expect(withoutRules(line).trim().split(/\s+/)[0]).toBe(line.split(/\s+|\.\.\./)[0])
  })
})

describe('drive logs', () => {
  const columns = `========================
 BUS LOG
VIN ........ 5W9HA4E2XNB104472
Date: 2026-05-21

Time        Speed km/h  Steer deg
13:12:20    0           0.1
13:12:21    18          0.1
13:12:22    36          -0.2
------------------------
`

  it('reads columns parted by blanks', () => {
    const track = trackOf(read(columns))
    expect(track).toMatchObject({
      clock: 'local',
      rejected: 0,
      header: { VIN: '5W9HA4E2XNB104472', Date: '2026-05-21' },
    })
    expect(track.points[2]).toEqual({ time: utc('2026-05-21T13:12:22Z'), speed: 10 })
    expect(allText(read(columns))).toContain('VIN 5W9HA4E2XNB104472')
  })

  it('reads date and time parted by one blank', () => {
    const track = trackOf(
      read('time lat lon km/h\n2026-05-21 13:12:20 41.3 -105.5 36\n2026-05-21 13:12:21 41.3 -105.5 36\n'),
    )
    expect(track.points[0]).toEqual({ time: utc('2026-05-21T13:12:20Z'), latitude: 41.3, longitude: -105.5, speed: 10 })
  })

  it('reads delimited text and NMEA sentences under the name of plain text', () => {
    expect(trackOf(read('elapsed_s;speed km/h\n0;36\n1;36\n')).points).toHaveLength(2)
    const sentence = '$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A'
    expect(trackOf(read(`${sentence}\n${sentence}\n`)).points).toHaveLength(1)
  })

  it('finds none in a report', () => {
    expect(read('Time    Event\n13:12   Scan started\n13:15   Scan ended\n').track).toBeUndefined()
  })
})

it('says that an empty file is empty', () => {
  expect(codesOf(read(''))).toEqual(['empty'])
})
