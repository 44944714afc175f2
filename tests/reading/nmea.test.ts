import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import GPS from 'gps'
import { describe, expect, it } from 'vitest'
import { checksumOf, readNmea } from '../../src/reading/nmea.ts'
import { allText, bytesOf, codesOf, hint, trackOf, utc } from './text-reading.ts'

const read = (...lines: string[]) => readNmea(bytesOf(`${lines.join('\r\n')}\r\n`), hint)
const track = (...lines: string[]) => trackOf(read(...lines))
const sealed = (body: string) => `$${body}*${checksumOf(body)}`

// The two sentences that explanations of NMEA 0183 commonly show; the standard itself is not public.
const rmc = '$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A'
const gga = '$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47'

describe('the usual sentences', () => {
  it('RMC', () => {
    const { clock, points } = track(rmc)
    expect(clock).toBe('utc')
    expect(points).toHaveLength(1)
    expect(points[0]?.time).toBe(utc('1994-03-23T12:35:19Z'))
    expect(points[0]?.latitude).toBeCloseTo(48.1173, 4)
    expect(points[0]?.longitude).toBeCloseTo(11.5167, 4)
    expect((points[0]?.speed ?? 0) * 3.6).toBeCloseTo(41.48, 2)
  })

  it('RMC and GGA of one second make one point', () => {
    const { points } = track(gga, rmc)
    expect(points).toHaveLength(1)
    expect(points[0]).toMatchObject({ satellites: 8, hdop: 0.9, elevationMetres: 545.4 })
    expect(points[0]?.speed).toBeDefined()
  })

  it('checksums', () => {
    expect(checksumOf(rmc.slice(1, -3))).toBe('6A')
    expect(checksumOf(gga.slice(1, -3))).toBe('47')
  })

  it('agree with the parser of the package gps', () => {
    for (const sentence of [rmc, gga, sealed('GNRMC,235959.50,A,3757.0617,S,14425.4921,E,12.3,84.4,311226,,,A')]) {
      const theirs = GPS.Parse(sentence) as unknown as {
        lat: number
        lon: number
        speed?: number
        time: Date
        valid: boolean
      }
      const [ours] = track(sentence).points
      expect(theirs.valid).toBe(true)
      expect(ours?.latitude).toBeCloseTo(theirs.lat, 9)
      expect(ours?.longitude).toBeCloseTo(theirs.lon, 9)
      if (theirs.speed === undefined) continue
      expect((ours?.speed ?? 0) * 3.6).toBeCloseTo(theirs.speed, 6)
      expect(ours?.time).toBe(theirs.time.getTime() / 1000)
    }
  })
})

describe('a log', () => {
  const position = '4807.038,N,01131.000,E'

  it('takes any talker, VTG, GLL and ZDA', () => {
    const { points } = track(
      sealed('GNZDA,123519.00,23,03,2026,00,00'),
      sealed(`GLGLL,${position},123519.00,A`),
      sealed('GNVTG,84.4,T,,M,10.0,N,18.52,K,A'),
    )
    expect(points).toHaveLength(1)
    expect(points[0]?.time).toBe(utc('2026-03-23T12:35:19Z'))
    expect(points[0]?.speed).toBeCloseTo(18.52 / 3.6, 9)
  })

  it('rejects bad checksums and void sentences, and tells their number', () => {
    const reading = read(
      rmc,
      gga,
      rmc.replace('123519', '123520'),
      sealed('GPRMC,123521,V,,,,,,,230394,,'),
      '$GPRMC,1235',
    )
    expect(trackOf(reading)).toMatchObject({ rejected: 3 })
    expect(trackOf(reading).points).toHaveLength(1)
    expect(codesOf(reading)).toEqual(['bad-checksum', 'no-checksum'])
  })

  it('takes sentences without checksum where the whole log has none', () => {
    const reading = read(rmc.slice(0, -3))
    expect(trackOf(reading).points).toHaveLength(1)
    expect(codesOf(reading)).toEqual(['no-checksum'])
  })

  it('carries the date past midnight and back to the sentences before the first date', () => {
    const { points } = track(
      sealed(`GPGGA,235958.00,${position},1,08,0.9,545.4,M,46.9,M,,`),
      sealed(`GPRMC,235959.00,A,${position},0,0,311226,,`),
      sealed(`GPGGA,000000.00,${position},1,08,0.9,545.4,M,46.9,M,,`),
    )
    expect(points.map((point) => point.time)).toEqual(
      ['2026-12-31T23:59:58Z', '2026-12-31T23:59:59Z', '2027-01-01T00:00:00Z'].map(utc),
    )
  })

  it('takes two-digit years from 80 on for the last century', () => {
    const dated = (year: string) => track(sealed(`GPRMC,000000,A,${position},0,0,0101${year},,`)).points[0]?.time
    expect(dated('80')).toBe(utc('1980-01-01T00:00:00Z'))
    expect(dated('79')).toBe(utc('2079-01-01T00:00:00Z'))
  })

  it('counts from the first sample where no sentence states a date', () => {
    const reading = read(
      sealed(`GPGGA,235959.00,${position},1,08,0.9,545.4,M,46.9,M,,`),
      sealed(`GPGGA,000001.00,${position},1,08,0.9,545.4,M,46.9,M,,`),
    )
    expect(trackOf(reading)).toMatchObject({ clock: 'elapsed', points: [{ time: 0 }, { time: 2 }] })
    expect(codesOf(reading)).toEqual(['no-date'])
  })

  it('sets header lines on the page and reads their labels', () => {
    const reading = read('# VIN 5W9HA4E2XNB104472', '# Job: RO 4471', rmc)
    expect(allText(reading)).toContain('VIN 5W9HA4E2XNB104472')
    expect(trackOf(reading).header).toEqual({ VIN: '5W9HA4E2XNB104472', Job: 'RO 4471' })
    expect(trackOf(reading).rejected).toBe(0)
  })

  it("finds sentences behind a logger's own stamp", () => {
    expect(track(`2026-03-23 12:35:20 > ${rmc}`).points).toHaveLength(1)
  })
})

// The package ggencoder (Apache-2.0) ships a sample of 38 RMC sentences, one with a wrong checksum and one without;
// expected values by the package gps, another author's parser.
describe('a public sample', () => {
  const file = createRequire(import.meta.url).resolve('ggencoder/test/FeedSample/GprmcSample.nmea')
  const bytes = readFileSync(file)
  const theirs = bytes
    .toString('latin1')
    .split(/\r?\n/)
    .filter((line) => line.startsWith('$'))
    .map(
      (line) =>
        GPS.Parse(line) as unknown as { valid: boolean; lat: number; lon: number; speed: number; time: Date | null },
    )
  const valid = theirs.filter((record) => record?.valid)
  const ours = trackOf(readNmea(bytes, hint))

  it('gives as many points, over the same time', () => {
    expect(theirs).toHaveLength(38)
    expect(ours.points.length).toBe(valid.length)
    expect(ours.rejected).toBe(38 - valid.length)
    expect(ours.points.map((point) => point.time)).toEqual(valid.map((record) => (record.time?.getTime() ?? 0) / 1000))
  })

  it('gives the same latitudes and speeds', () => {
    for (const [index, record] of valid.entries()) {
      expect(ours.points[index]?.latitude).toBeCloseTo(record.lat, 9)
      expect((ours.points[index]?.speed ?? 0) * 3.6).toBeCloseTo(record.speed, 6)
    }
  })

  it('reads longitudes that lack their leading zeros', () => {
    // 255.80407242909388,W is 2 degrees and 55.804 minutes west, off Brittany; gps takes it for 255 degrees.
    expect(ours.points[0]?.longitude).toBeCloseTo(-(2 + 55.80407242909388 / 60), 12)
    expect(valid.at(-1)?.lon).toBeCloseTo(103.848267, 6)
    expect(ours.points.at(-1)?.longitude).toBeCloseTo(valid.at(-1)?.lon ?? 0, 9)
  })
})
