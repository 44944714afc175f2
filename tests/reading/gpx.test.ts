import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { describe, expect, it } from 'vitest'
import type { TrackPoint } from '../../src/facts/reading.ts'
import { readGpx } from '../../src/reading/gpx.ts'
import { readXml } from '../../src/reading/structured.ts'
import { allText, bytesOf, codesOf, hint, printedLines, trackOf, utc } from './text-reading.ts'

const read = (text: string) => readGpx(bytesOf(text), hint)
const wrap = (points: string) => `<gpx version="1.1"><trk><trkseg>${points}</trkseg></trk></gpx>`

// The form of a document by the GPX 1.1 schema, from memory; its values are invented.
const sample = `<?xml version="1.0" encoding="UTF-8" standalone="no" ?>
<gpx xmlns="http://www.topografix.com/GPX/1/1" version="1.1" creator="Test logger"
  xmlns:x="urn:example:extension" xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance"
  xsi:schemaLocation="http://www.topografix.com/GPX/1/1 http://www.topografix.com/GPX/1/1/gpx.xsd">
  <metadata>
    <name>Radar drive</name><desc>VIN 5W9HA4E2XNB104472
RO 4471</desc>
    <link href="http://example.com"><text>Example</text></link>
    <time>2026-05-21T19:12:20Z</time>
    <extensions><x:technician>B. Test</x:technician></extensions>
  </metadata>
  <trk><name>first &amp; only</name><trkseg>
    <trkpt lat="41.314214" lon="-105.573126"><ele>2194.5</ele><time>2026-05-21T19:12:20Z</time><fix>3d</fix><sat>10</sat><hdop>0.9</hdop></trkpt>
    <trkpt lat="41.314212" lon="-105.573133"><time>2026-05-21T19:12:21.500Z</time><extensions><x:TrackPointExtension><x:speed>12.5</x:speed></x:TrackPointExtension></extensions></trkpt>
  </trkseg><trkseg>
    <trkpt lat="41.3143" lon="-105.5732"><time>2026-05-21T13:12:23-06:00</time><extensions><speed_kmh>36</speed_kmh></extensions></trkpt>
  </trkseg></trk>
  <trk><trkseg>
    <trkpt lat="41.3144" lon="-105.5733"/>
    <trkpt lat="91" lon="0"><time>2026-05-21T19:12:25Z</time></trkpt>
    <trkpt lat="41" lon=""><time>2026-05-21T19:12:26Z</time></trkpt>
  </trkseg></trk>
</gpx>`

describe('a document of GPX 1.1', () => {
  const reading = read(sample)

  it('gives the points of all tracks and segments in file order', () => {
    expect(trackOf(reading)).toMatchObject({ clock: 'utc', offset: null, rejected: 2 })
    expect(trackOf(reading).points).toEqual([
      {
        time: utc('2026-05-21T19:12:20Z'),
        latitude: 41.314214,
        longitude: -105.573126,
        elevationMetres: 2194.5,
        satellites: 10,
        hdop: 0.9,
      },
      { time: utc('2026-05-21T19:12:21.5Z'), latitude: 41.314212, longitude: -105.573133, speed: 12.5 },
      { time: utc('2026-05-21T19:12:23Z'), latitude: 41.3143, longitude: -105.5732, speed: 10 },
      { time: null, latitude: 41.3144, longitude: -105.5733 },
    ])
    expect(reading.problems).toEqual([])
  })

  it('sets its texts on the page', () => {
    expect(printedLines(reading)).toEqual([
      'creator:  Test logger',
      'Radar drive',
      'VIN 5W9HA4E2XNB104472',
      'RO 4471',
      'time:  2026-05-21T19:12:20Z',
      'technician:  B. Test',
      'first & only',
      'first point:  2026-05-21T19:12:20Z',
      'last point:  2026-05-21T13:12:23-06:00',
    ])
    expect(trackOf(reading).header).toMatchObject({ VIN: '5W9HA4E2XNB104472', RO: '4471', technician: 'B. Test' })
  })

  it('is read alike under a prefix and as XML', () => {
    const prefixed = sample
      .replace('xmlns="', 'xmlns:g="')
      .replace(/<(\/?)(gpx|trk|trkseg|trkpt|time|ele|sat|hdop|fix)\b/g, '<$1g:$2')
    expect(trackOf(read(prefixed)).points).toEqual(trackOf(reading).points)
    expect(trackOf(readXml(bytesOf(sample), hint)).points).toEqual(trackOf(reading).points)
  })
})

describe('speeds', () => {
  it.each([
    ['GPX 1.0, metres a second', '<speed>10</speed>', 10],
    ['an extension', '<extensions><speed>10</speed></extensions>', 10],
    ['an element that names its unit', '<extensions><speed_mph>22.369362920544</speed_mph></extensions>', 10],
    ['an attribute that names its unit', '<extensions><speed unit="km/h">36</speed></extensions>', 10],
    ['a speed that is none', '<extensions><speed>-1</speed></extensions>', undefined],
    ['a limit', '<extensions><speedLimit>30</speedLimit></extensions>', undefined],
  ])('%s', (_, inner, speed) => {
    const [point] = trackOf(read(wrap(`<trkpt lat="1" lon="2">${inner}</trkpt>`))).points
    if (speed === undefined) expect(point?.speed).toBeUndefined()
    else expect(point?.speed).toBeCloseTo(speed, 9)
  })
})

describe('what is wrong', () => {
  it('reads what stands before a cut', () => {
    const reading = read(sample.slice(0, sample.indexOf('<trkpt lat="41.3143"') + 40))
    expect(trackOf(reading).points).toHaveLength(2)
    expect(codesOf(reading)).toEqual(['truncated'])
  })

  it('does not obey a document type', () => {
    const reading = read(
      `<!DOCTYPE gpx [<!ENTITY v "5W9HA4E2XNB104472">]>${wrap('<trkpt lat="1" lon="2"/>').replace('<trk>', '<trk><name>&v;</name>')}`,
    )
    expect(codesOf(reading)).toContain('doctype')
    expect(allText(reading)).not.toContain('5W9HA4E2XNB104472')
    expect(trackOf(reading).points).toHaveLength(1)
  })

  it('tells times that make no sense or carry no zone', () => {
    const reading = read(
      wrap(
        '<trkpt lat="1" lon="2"><time>yesterday</time></trkpt><trkpt lat="1" lon="2"><time>2026-05-21T19:12:20</time></trkpt>',
      ),
    )
    expect(codesOf(reading)).toEqual(['bad-time', 'time-without-zone'])
    expect(trackOf(reading).points.map((point) => point.time)).toEqual([null, utc('2026-05-21T19:12:20Z')])
  })

  it('tells a file without points', () => {
    const reading = read('<gpx version="1.1"><metadata><name>Plan</name></metadata></gpx>')
    expect(reading.track).toBeUndefined()
    expect(codesOf(reading)).toEqual(['no-points'])
  })
})

interface TheirPoint {
  lat: number
  lon: number
  elevation: number[]
  time: Date
}
interface TheirTrack {
  segments: TheirPoint[][]
  length: () => number
}

// The package gpx-parse (MIT) ships a recorded run of 1.2 MB and is a parser of its own: its figures beside ours.
describe('a public track', () => {
  const require = createRequire(import.meta.url)
  const file = require.resolve('gpx-parse/tests/integration/data/route-1.1.gpx')
  const text = readFileSync(file, 'utf8')
  const ours = trackOf(readGpx(readFileSync(file), hint))

  async function theirs(): Promise<TheirTrack> {
    const parser = require('gpx-parse')
    return new Promise((resolve, reject) => {
      parser.parseGpx(text, (error: Error | null, data: { tracks: TheirTrack[] }) => {
        const [track] = data?.tracks ?? []
        if (error || !track) reject(error ?? new Error('no track'))
        else resolve(track)
      })
    })
  }

  it('gives every point with its time and height', async () => {
    const points = (await theirs()).segments.flat()
    expect(ours.points).toHaveLength(points.length)
    expect(ours.points.length).toBe(text.match(/<trkpt /g)?.length)
    expect(ours.points.map(({ time, latitude, longitude }) => [time, latitude, longitude])).toEqual(
      points.map(({ time, lat, lon }) => [time.getTime() / 1000, Number(lat), Number(lon)]),
    )
    // gpx-parse gives -1 for a height of 0.
    const heights = points.map(({ elevation }) => (Number(elevation) === -1 ? 0 : Number(elevation)))
    expect(ours.points.map((point) => point.elevationMetres)).toEqual(heights)
  })

  it('gives the same duration and, on a sphere, the same distance', async () => {
    const track = await theirs()
    const points = track.segments.flat()
    const seconds = ((points.at(-1)?.time.getTime() ?? 0) - (points[0]?.time.getTime() ?? 0)) / 1000
    expect((ours.points.at(-1)?.time ?? 0) - (ours.points[0]?.time ?? 0)).toBe(seconds)
    const metres = track.length() * 1000
    expect(Math.abs(sphericalLength(ours.points) / metres - 1)).toBeLessThan(1e-9)
  })
})

/** Haversine sum on a sphere of 6367 km, the radius of gpx-parse. */
function sphericalLength(points: readonly TrackPoint[]): number {
  const radians = (degrees = 0) => (degrees * Math.PI) / 180
  let sum = 0
  points.forEach((point, index) => {
    const before = points[index - 1]
    if (!before) return
    const half = (a = 0, b = 0) => Math.sin(radians(b - a) / 2) ** 2
    const chord =
      half(before.latitude, point.latitude) +
      Math.cos(radians(before.latitude)) * Math.cos(radians(point.latitude)) * half(before.longitude, point.longitude)
    sum += 2 * 6_367_000 * Math.asin(Math.sqrt(chord))
  })
  return sum
}
