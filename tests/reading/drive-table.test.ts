import { describe, expect, it } from 'vitest'
import { readDelimited } from '../../src/reading/delimited.ts'
import { headWords, speedScale } from '../../src/reading/drive-columns.ts'
import { readCoordinate, readDegreesMinutes } from '../../src/reading/measured-number.ts'
import { bytesOf, codesOf, hint, trackOf, utc } from './text-reading.ts'

const read = (...lines: string[]) => readDelimited(bytesOf(lines.join('\n')), hint)
const track = (...lines: string[]) => trackOf(read(...lines))
const times = (...lines: string[]) => track(...lines).points.map((point) => point.time)
const speeds = (...lines: string[]) => track(...lines).points.map((point) => point.speed)

describe('speed units', () => {
  // The mile and the foot of 1959, the nautical mile of the SI brochure: exact by definition.
  it.each([
    ['speed_mph', 0.44704],
    ['road_speed_mph', 0.44704],
    ['Speed (km/h)', 1 / 3.6],
    ['GPS speed km/h', 1 / 3.6],
    ['VehicleSpeedKPH', 1 / 3.6],
    ['velocity [m/s]', 1],
    ['Speed, knots', 1852 / 3600],
    ['sog_kn', 1852 / 3600],
    ['speed ft/s', 0.3048],
    ['speed', null],
    ['lateral acceleration m/s2', null],
    ['accel (m/s²)', null],
    ['force kN', null],
  ])('%s', (head, scale) => {
    if (scale === null) expect(speedScale(head)).toBeNull()
    else expect(speedScale(head)).toBeCloseTo(scale, 12)
  })

  it('reads 36 km/h, 10 m/s and 22.369 mph as one speed', () => {
    expect(speeds('elapsed_s,Speed (km/h)', '0,36', '1,36')[0]).toBeCloseTo(10, 10)
    expect(speeds('elapsed_s,speed m/s', '0,10', '1,10')[0]).toBeCloseTo(10, 10)
    expect(speeds('elapsed_s,mph', '0,22.369362920544', '1,0')[0]).toBeCloseTo(10, 9)
  })

  it('takes the unit from a row beneath the header, from the cell, or from a line above', () => {
    expect(speeds('Time;Speed;Steer', 's;km/h;deg', '0;36;0,1', '1;72;0,2')).toEqual([10, 20])
    expect(speeds('elapsed_s,speed', '0,36 km/h', '1,72 km/h')).toEqual([10, 20])
    expect(speeds('# all speeds in km/h', 'elapsed_s,speed', '0,36', '1,72')).toEqual([10, 20])
  })

  it('leaves out a speed without unit and says so', () => {
    const reading = read('elapsed_s,speed', '0,36', '1,72')
    expect(trackOf(reading).points).toEqual([{ time: 0 }, { time: 1 }])
    expect(codesOf(reading)).toEqual(['speed-without-unit'])
    expect(reading.problems[0]?.message).toContain('"speed"')
  })

  it('takes satellite speed first and bus or wheel speed as the second', () => {
    const [point] = track('elapsed_s,vehicle speed km/h,GPS speed km/h', '0,36,18', '1,36,18').points
    expect(point).toEqual({ time: 0, speed: 5, wheelSpeed: 10 })
    const [wheels] = track('elapsed_s,road_speed_kmh,whl_fl_kmh,whl_fr_kmh', '0,36,18,36', '1,36,18,36').points
    expect(wheels?.speed).toBe(10)
    expect(wheels?.wheelSpeed).toBeCloseTo(7.5, 10)
  })

  it('does not take engine speed, limits or steering wheels for the speed of the vehicle', () => {
    expect(read('elapsed_s,engine speed rpm', '0,700', '1,800').track).toBeUndefined()
    expect(read('elapsed_s,speed limit mph', '0,30', '1,30').track).toBeUndefined()
    expect(read('elapsed_s,steering wheel angle', '0,1.5', '1,1.6').track).toBeUndefined()
  })
})

describe('times', () => {
  const first = utc('2026-05-21T19:12:20Z')

  it.each([
    ['ISO in UTC', 'time', '2026-05-21T19:12:20Z', '2026-05-21T19:12:21.5Z'],
    ['head that names UTC', 'Timestamp UTC', '2026-05-21 19:12:20', '2026-05-21 19:12:21.5'],
    ['epoch seconds', 'timestamp', '1779390740', '1779390741.5'],
    ['epoch milliseconds', 'ts time', '1779390740000', '1779390741500'],
  ])('%s', (_, head, one, two) => {
    const read = track(`${head},speed km/h`, `${one},0`, `${two},0`)
    expect(read).toMatchObject({ clock: 'utc', offset: null, startedLocal: null, rejected: 0 })
    expect(read.points.map((point) => point.time)).toEqual([first, first + 1.5])
  })

  it.each([
    ['ISO', '2026-05-21 13:12:20', '2026-05-21 13:12:21'],
    ['day first', '21.05.2026 13:12:20', '21.05.2026 13:12:21'],
    ['month first', '05/21/2026 1:12:20 PM', '05/21/2026 1:12:21 PM'],
    ['month by name', '21-MAY-2026 13:12:20', '21-MAY-2026 13:12:21'],
  ])('local date and time, %s', (_, one, two) => {
    const read = track('date time,speed km/h', `${one},0`, `${two},0`)
    expect(read).toMatchObject({ clock: 'local', offset: null })
    expect(read.points[0]?.time).toBe(utc('2026-05-21T13:12:20Z'))
  })

  it('keeps a stated offset beside local times', () => {
    const local = utc('2026-05-21T13:12:20Z')
    for (const lines of [
      ['time,speed km/h', '2026-05-21T13:12:20-06:00,0', '2026-05-21T13:12:21-06:00,0'],
      [
        '# clock is local, utc offset -06:00',
        'time_local,speed km/h',
        '2026-05-21 13:12:20,0',
        '2026-05-21 13:12:21,0',
      ],
      ['Time (UTC-6),speed km/h', '2026-05-21 13:12:20,0', '2026-05-21 13:12:21,0'],
    ]) {
      expect(track(...lines)).toMatchObject({
        clock: 'local',
        offset: '-06:00',
        points: [{ time: local }, { time: local + 1 }],
      })
    }
  })

  it('turns mixed offsets into UTC', () => {
    // New York 2026-11-01: 01:30 is 05:30Z before and 06:30Z after the clocks go back.
    expect(times('time,speed km/h', '2026-11-01T01:30:00-04:00,0', '2026-11-01T01:30:00-05:00,0')).toEqual([
      utc('2026-11-01T05:30:00Z'),
      utc('2026-11-01T06:30:00Z'),
    ])
  })

  it('joins a date column and a time column', () => {
    expect(times('Date;Time;Speed km/h', '2026-05-21;13:12:20;0', '2026-05-21;13:12:21;0')[1]).toBe(
      utc('2026-05-21T13:12:21Z'),
    )
  })

  it('takes the date of a time of day from the lines above and passes midnight', () => {
    const lines = [
      'Bus log;7',
      'Date;2026-10-20',
      '',
      'clock;speed km/h',
      '23:59:59.50;0',
      '00:00:00.50;0',
      '00:00:01.50;0',
    ]
    const start = utc('2026-10-20T23:59:59.5Z')
    expect(times(...lines)).toEqual([start, start + 1, start + 2])
    expect(track(...lines).clock).toBe('local')
  })

  it('counts from the first sample where no date is stated', () => {
    const reading = read('clock,speed km/h', '13:12:20,0', '13:12:22,0')
    expect(trackOf(reading)).toMatchObject({ clock: 'elapsed', startedLocal: null, points: [{ time: 0 }, { time: 2 }] })
    expect(codesOf(reading)).toEqual(['no-date'])
  })

  it('does not guess which of day and month comes first', () => {
    const reading = read('date time,speed km/h', '03/04/2026 13:12:20,0', '03/04/2026 13:12:22,0')
    expect(trackOf(reading)).toMatchObject({ clock: 'elapsed', points: [{ time: 0 }, { time: 2 }] })
    expect(codesOf(reading)).toEqual(['ambiguous-date'])
  })

  it.each([
    ['elapsed_s', '0.5', '1.5', 0.5],
    ['Time (ms)', '500', '1500', 0.5],
    ['elapsed', '00:30', '00:31', 30],
    ['time', '00:00:00', '00:00:01', 0],
  ])('elapsed: %s', (head, one, two, expected) => {
    const read = track(`${head},speed km/h`, `${one},0`, `${two},0`)
    expect(read).toMatchObject({ clock: 'elapsed', points: [{ time: expected }, { time: expected + 1 }] })
  })

  it('keeps the stated start of an elapsed clock', () => {
    expect(track('Started;2026-05-21 13:12:20', 'elapsed_s;speed km/h', '0;0', '1;0')).toMatchObject({
      clock: 'elapsed',
      startedLocal: '2026-05-21T13:12:20',
    })
    expect(times('Started;2026-05-21T19:12:20Z', 'elapsed_s;speed km/h', '0;0', '1;0')).toEqual([first, first + 1])
  })

  it('leaves out times whose unit is not stated', () => {
    const reading = read('t,lat,lon', '0,41.3,-105.5', '1,41.4,-105.5')
    expect(trackOf(reading).points.map((point) => point.time)).toEqual([null, null])
    expect(codesOf(reading)).toEqual(['no-time'])
  })
})

describe('positions', () => {
  // Flinders Peak, GDA technical manual: -37 57 03.72030, 144 25 29.52440.
  it('reads degrees, minutes and seconds', () => {
    expect(readCoordinate('37°57\'03.72030" S', 90, false)).toBeCloseTo(-37.951033417, 9)
    expect(readCoordinate('-37 57 03.72030', 90, false)).toBeCloseTo(-37.951033417, 9)
    expect(readCoordinate('E144 25 29.52440', 180, false)).toBeCloseTo(144.424867889, 9)
  })

  it('reads decimal degrees with and without side, point or comma', () => {
    expect(readCoordinate('41.314214N', 90, false)).toBe(41.314214)
    expect(readCoordinate('105.573126 W', 180, false)).toBe(-105.573126)
    expect(readCoordinate('-105,573126', 180, true)).toBe(-105.573126)
    expect(readCoordinate('41,314214', 90, false)).toBeNull()
  })

  it('refuses what is out of range or on the wrong side', () => {
    expect(readCoordinate('90.1', 90, false)).toBeNull()
    expect(readCoordinate('41.3 E', 90, false)).toBeNull()
    expect(readCoordinate('41 60 00 N', 90, false)).toBeNull()
    expect(readDegreesMinutes('4160.000', 'N', 90)).toBeNull()
  })

  // The sentence GPRMC,…,4807.038,N,01131.000,E is 48.1173, 11.5167 by its usual explanation.
  it('reads degrees and minutes with the side in a column of its own', () => {
    const [point] = track(
      'utc,lat,N/S,lon,E/W,knots',
      '2026-05-21 19:12:20,4807.038,N,01131.000,E,22.4',
      '2026-05-21 19:12:21,4807.038,N,01131.000,E,22.4',
    ).points
    expect(point?.latitude).toBeCloseTo(48.1173, 4)
    expect(point?.longitude).toBeCloseTo(11.5167, 4)
    expect((point?.speed ?? 0) * 3.6).toBeCloseTo(41.48, 2)
  })

  it('reads decimal commas, altitude, satellites and dilution', () => {
    const [point] = track(
      'Zeit;Breite;Länge;Höhe (m);Sats;HDOP',
      '2026-05-21 13:12:20;41,314214;-105,573126;2194,5;10;0,9',
      '2026-05-21 13:12:21;41,4;-105,5;2194,5;10;0,9',
    ).points
    expect(point).toMatchObject({
      latitude: 41.314214,
      longitude: -105.573126,
      elevationMetres: 2194.5,
      satellites: 10,
      hdop: 0.9,
    })
  })

  it('takes 0, 0 for no fix', () => {
    const read = track('time,lat,lon,speed km/h', '2026-05-21T19:12:20Z,0,0,36', '2026-05-21T19:12:21Z,41.3,-105.5,36')
    expect(read.points[0]).toEqual({ time: utc('2026-05-21T19:12:20Z'), speed: 10 })
  })
})

describe('rows', () => {
  it('counts those that cannot be used and keeps the rest in order', () => {
    const read = track(
      'time,lat,lon,speed km/h',
      '2026-05-21T19:12:20Z,41.3,-105.5,36',
      '2026-05-21T19:12:21Z,91.3,-105.5,36',
      'garbage,41.3,-105.5,36',
      '2026-05-21T19:12:23Z,41.3,-105.5,-1',
      ',41.3,-105.5,18',
      '2026-05-21T19:12:25Z,41.3,-105.5,900',
      '2026-05-21T19:12:26Z,41.3,-105.5,36',
      '2026-05-21T19:12:27Z,41.3,-105.5,36',
    )
    expect(read.rejected).toBe(4)
    expect(read.points.map((point) => point.time)).toEqual([
      utc('2026-05-21T19:12:20Z'),
      null,
      utc('2026-05-21T19:12:26Z'),
      utc('2026-05-21T19:12:27Z'),
    ])
  })

  it('reads the header lines and does not count lines after the samples', () => {
    const read = track(
      '# VIN 5W9HA4E2XNB104472  RO 4471',
      '# Vehicle: test car',
      'elapsed_s,speed km/h,rpm',
      '0,0,700',
      '1,0,710',
      'Samples,2',
    )
    expect(read.header).toEqual({ VIN: '5W9HA4E2XNB104472', RO: '4471', Vehicle: 'test car', Samples: '2' })
    expect(read.rejected).toBe(0)
  })

  it('reads a header that the logger wrote as a comment', () => {
    expect(times('# elapsed_s, speed km/h', '0,10', '1,12')).toEqual([0, 1])
  })

  it('does not take a scan report for a drive', () => {
    expect(read('time,module,code,status', '10:00,Radar,C1A67,active', '10:01,ABS,C0034,stored').track).toBeUndefined()
  })
})

it('parts a head into words', () => {
  expect(headWords('GPSSpeed_Kmh (avg)')).toBe('gps speed kmh avg')
  expect(headWords('VehicleSpeedKPH')).toBe('vehicle speed kph')
})
