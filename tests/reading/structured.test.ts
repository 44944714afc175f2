import { describe, expect, it } from 'vitest'
import { parseJson } from '../../src/reading/json-text.ts'
import { readJson, readXml, readYaml } from '../../src/reading/structured.ts'
import { keyWords, singular } from '../../src/reading/structured-node.ts'
import { allText, bytesOf, cellsOf, codesOf, hint, printedLines, trackOf, utc } from './text-reading.ts'

const json = (value: unknown) => readJson(bytesOf(typeof value === 'string' ? value : JSON.stringify(value)), hint)
const yaml = (text: string) => readYaml(bytesOf(text), hint)
const xml = (text: string) => readXml(bytesOf(text), hint)

describe('keys', () => {
  it.each(['vinNumber', 'vin_number', 'VIN-Number', 'VINNumber', 'Vin number'])('%s is "vin number"', (key) => {
    expect(keyWords(key)).toBe('vin number')
  })

  it('singular', () => {
    expect(['modules', 'batteries', 'status', 'class', 'code'].map(singular)).toEqual([
      'module',
      'battery',
      'status',
      'class',
      'code',
    ])
  })
})

describe('JSON on the page', () => {
  it('prints labels, headings and tables', () => {
    const reading = json({
      vinNumber: '5W9HA4E2XNB104472',
      scan: { voltage: 12.6, tags: ['a', 'b'] },
      modules: [
        {
          name: 'Forward camera',
          state: 'fault',
          codes: [
            { code: 'C1A67-54', status: 'active' },
            { code: 'U0155', status: 'stored' },
          ],
        },
        { name: 'ABS', state: 'ok', codes: [] },
      ],
      note: null,
    })
    expect(printedLines(reading)).toEqual([
      'vin number:   5W9HA4E2XNB104472',
      '',
      'scan',
      '  voltage:   12.6',
      '  tags:      a, b',
      '',
      'modules',
      'module name      state   code       code status',
      'Forward camera   fault   C1A67-54   active',
      'Forward camera   fault   U0155      stored',
      'ABS              ok',
    ])
    expect(reading.problems).toEqual([])
    const cells = cellsOf(reading)
    expect([...cells.values()]).toContain('Forward camera')
  })

  it('prints named values as label and value', () => {
    expect(
      printedLines(
        json({
          fields: [
            { label: 'VIN', value: '5W9' },
            { label: 'Job', value: 'RO 1' },
          ],
        }),
      ),
    ).toEqual(['vin:   5W9', 'job:   RO 1'])
  })

  it('prints records of different kinds one after the other', () => {
    const lines = printedLines(json({ steps: [{ step: 1, parts: [['a', 'b'], ['c']] }, { step: 2 }] }))
    expect(lines).toContain('steps 1')
    expect(lines).toContain('  step:   1')
    expect(lines).toContain('steps 2')
  })
})

describe('JSON', () => {
  // RFC 8259, section 13.
  const image = `{
        "Image": {
            "Width":  800,
            "Height": 600,
            "Title":  "View from 15th Floor",
            "Thumbnail": {
                "Url":    "http://www.example.com/image/481989943",
                "Height": 125,
                "Width":  100
            },
            "Animated" : false,
            "IDs": [116, 943, 234, 38793]
          }
      }`
  const cities = `[
        {
           "precision": "zip",
           "Latitude":  37.7668,
           "Longitude": -122.3959,
           "Address":   "",
           "City":      "SAN FRANCISCO",
           "State":     "CA",
           "Zip":       "94107",
           "Country":   "US"
        },
        {
           "precision": "zip",
           "Latitude":  37.371991,
           "Longitude": -122.026020,
           "Address":   "",
           "City":      "SUNNYVALE",
           "State":     "CA",
           "Zip":       "94085",
           "Country":   "US"
        }
      ]`

  it('reads the examples of RFC 8259, numbers as written', () => {
    expect(printedLines(json(image))).toEqual([
      'image',
      '  width:      800',
      '  height:     600',
      '  title:      View from 15th Floor',
      '  animated:   false',
      '  ids:        116, 943, 234, 38793',
      '',
      '  thumbnail',
      '    url:      http://www.example.com/image/481989943',
      '    height:   125',
      '    width:    100',
    ])
    expect(printedLines(json(cities))[2]).toMatch(/^zip +37\.371991 +-122\.026020 +SUNNYVALE +CA +94085 +US$/)
    expect(json(cities).track).toBeUndefined()
    expect(['"Hello world!"', '42', 'true'].map((text) => allText(json(text)))).toEqual(['Hello world!', '42', 'true'])
  })

  it('agrees with the built-in parser on escapes and refuses what that refuses', () => {
    for (const text of ['"\\u005C\\"\\/\\u00fc"', '"\\ud834\\udd1e"', '-0.5e+10', '[]', '{}', ' [1 , 2 ] ']) {
      expect(parseJson(text).problems, text).toEqual([])
      expect(() => JSON.parse(text)).not.toThrow()
    }
    expect(parseJson('"\\ud834\\udd1e"').root).toEqual({ kind: 'scalar', text: '\u{1d11e}' })
    for (const text of [
      '{a:1}',
      '[1,]',
      '[01]',
      '[.5]',
      '[1e]',
      '["\\x"]',
      '[1 2]',
      'nul',
      '"a',
      '{"a" 1}',
      '[+1]',
      "['a']",
      'NaN',
      '1a',
    ]) {
      expect(parseJson(text).problems, text).toHaveLength(1)
      expect(() => JSON.parse(text), text).toThrow()
    }
  })

  it('keeps big numbers and tells names that stand twice', () => {
    const reading = json('{"id": 12345678901234567890123, "a": 1,\n "a": 2}')
    expect(allText(reading)).toBe('id: 12345678901234567890123 a: 1 a: 2')
    expect(reading.problems).toEqual([
      { code: 'duplicate-key', message: 'line 2, column 5: the name "a" stands twice; both were read.' },
    ])
  })

  it('keeps what stands before a cut or a fault', () => {
    const cut = json('{"vin": "5W9HA4E2XNB104472", "modules": [{"name": "Radar", "state"')
    expect(codesOf(cut)).toEqual(['truncated'])
    expect(allText(cut)).toContain('5W9HA4E2XNB104472')
    expect(allText(cut)).toContain('Radar')
    const fault = json('{"vin": "5W9HA4E2XNB104472",\n "x": oops}')
    expect(fault.problems[0]).toEqual({
      code: 'damaged',
      message: 'line 2, column 7: no value of JSON; what stands before it was read.',
    })
  })

  it('reads one value a line', () => {
    expect(
      printedLines(json('{"code":"C1A67","status":"active","n":1}\n{"code":"U0155","status":"stored","n":2}\n')),
    ).toHaveLength(3)
  })
})

describe('YAML', () => {
  it('prints like JSON, scalars as written', () => {
    const reading = yaml(
      'vin: 5W9HA4E2XNB104472\nstarted: 2026-05-21 13:12:20\nserial: 0012\nruns:\n  - {result: aborted, progress: 40}\n  - {result: completed, progress: 100}\n',
    )
    expect(printedLines(reading)).toEqual([
      'vin:       5W9HA4E2XNB104472',
      'started:   2026-05-21 13:12:20',
      'serial:    0012',
      '',
      'runs',
      'result      progress',
      'aborted     40',
      'completed   100',
    ])
    expect(reading.problems).toEqual([])
  })

  it('tells a fault by line and column and keeps the rest', () => {
    const reading = yaml('vin: 5W9HA4E2XNB104472\nb: [1, 2\nc: "x\n')
    expect(codesOf(reading)).toEqual(['damaged'])
    expect(reading.problems[0]?.message).toMatch(/^line \d+, column \d+: /)
    expect(allText(reading)).toContain('5W9HA4E2XNB104472')
  })

  it('follows aliases, obeys no tags, tells keys that stand twice', () => {
    expect(allText(yaml('a: &x hello\nb: *x\n'))).toBe('a: hello b: hello')
    expect(allText(yaml('a: !!js/function "return 1"\n'))).toContain('return 1')
    expect(codesOf(yaml('a: 1\na: 2\n'))).toEqual(['duplicate-key'])
  })
})

describe('XML', () => {
  it('prints attributes, elements and text', () => {
    const reading = xml(`<?xml version="1.0"?>
<s:ScanReport xmlns:s="urn:x" VIN="5W9HA4E2XNB104472">
  <s:Date>2026-05-21 13:12</s:Date>
  <Modules><Module name="Forward camera" state="fault"><Code status="active">C1A67</Code><Code status="stored">U0155</Code></Module></Modules>
  <field name="Job">RO &lt;7&gt;</field>
</s:ScanReport>`)
    expect(printedLines(reading)).toEqual([
      'scan report',
      '  vin:    5W9HA4E2XNB104472',
      '  date:   2026-05-21 13:12',
      '',
      '  modules',
      '  module name      state   code status   code',
      '  Forward camera   fault   active        C1A67',
      '  Forward camera   fault   stored        U0155',
      '',
      '  field',
      '    name:    Job',
      '    field:   RO <7>',
    ])
    expect(reading.problems).toEqual([])
  })

  it('prints one record of a list as the row that it is among many', () => {
    const entry = '<entry><point>Pitch</point><measured>0.2 deg</measured><low>-2</low><high>2</high></entry>'
    const heads = 'point   measured   low   high'
    expect(printedLines(xml(`<values>${entry}</values>`))).toContain(heads)
    expect(printedLines(xml(`<values>${entry}${entry}</values>`))).toContain(heads)
    expect(printedLines(xml('<log><entry>one</entry><made>today</made></log>'))).not.toContain('one   today')
  })

  it('keeps what stands before a cut', () => {
    const reading = xml('<r><vin>5W9HA4E2XNB104472</vin><modules><module>Ra')
    expect(codesOf(reading)).toEqual(['truncated'])
    expect(allText(reading)).toContain('5W9HA4E2XNB104472')
  })
})

describe('drives', () => {
  const samples = [
    { timestamp: '2026-05-21T19:12:20Z', position: { lat: 41.3, lon: -105.5 }, speedKmh: 36 },
    { timestamp: '2026-05-21T19:12:21Z', position: { lat: 41.3001, lon: -105.5 }, speedKmh: 18 },
  ]
  const points = [
    { time: utc('2026-05-21T19:12:20Z'), latitude: 41.3, longitude: -105.5, speed: 10 },
    { time: utc('2026-05-21T19:12:21Z'), latitude: 41.3001, longitude: -105.5, speed: 5 },
  ]

  it('are read from records', () => {
    const track = trackOf(json({ vin: '5W9HA4E2XNB104472', samples }))
    expect(track).toMatchObject({ clock: 'utc', header: { vin: '5W9HA4E2XNB104472' }, points })
  })

  it('are read from columns and from rows', () => {
    const columns = {
      time: samples.map((s) => s.timestamp),
      lat: [41.3, 41.3001],
      lon: [-105.5, -105.5],
      speed_kmh: [36, 18],
    }
    const three = Object.fromEntries(Object.entries(columns).map(([key, list]) => [key, [...list, list[1]]]))
    expect(trackOf(json(three)).points.slice(0, 2)).toEqual(points)
    const rows = [
      ['time', 'lat', 'lon', 'speed km/h'],
      ...samples.map((s) => [s.timestamp, s.position.lat, s.position.lon, s.speedKmh]),
    ]
    expect(trackOf(json({ log: rows })).points).toEqual(points)
  })

  it('are read from YAML and XML', () => {
    expect(
      trackOf(
        yaml(
          'samples:\n- {time: 2026-05-21T19:12:20Z, lat: 41.3, lon: -105.5, kmh: 36}\n- {time: 2026-05-21T19:12:21Z, lat: 41.3001, lon: -105.5, kmh: 18}\n',
        ),
      ).points,
    ).toEqual(points)
    const point = ({ timestamp, position, speedKmh }: (typeof samples)[number]) =>
      `<Trackpoint><Time>${timestamp}</Time><Position><LatitudeDegrees>${position.lat}</LatitudeDegrees><LongitudeDegrees>${position.lon}</LongitudeDegrees></Position><SpeedKmh>${speedKmh}</SpeedKmh></Trackpoint>`
    expect(trackOf(xml(`<Activity><Track>${samples.map(point).join('')}</Track></Activity>`)).points).toEqual(points)
  })

  it('are read from GeoJSON, longitude first (RFC 7946, section 3.1.1)', () => {
    const line = {
      type: 'LineString',
      coordinates: [
        [-105.5, 41.3, 2000],
        [-105.5, 41.3001, 2001],
      ],
    }
    const reading = json({
      type: 'Feature',
      properties: { name: 'VIN 5W9HA4E2XNB104472', coordTimes: samples.map((s) => s.timestamp) },
      geometry: line,
    })
    expect(trackOf(reading).points[1]).toEqual({
      time: utc('2026-05-21T19:12:21Z'),
      latitude: 41.3001,
      longitude: -105.5,
      elevationMetres: 2001,
    })
    expect(allText(reading)).toContain('VIN 5W9HA4E2XNB104472')
    expect(allText(reading)).not.toContain('-105.5')
    const features = samples.map((s) => ({
      type: 'Feature',
      properties: { time: s.timestamp, speedKmh: s.speedKmh },
      geometry: { type: 'Point', coordinates: [s.position.lon, s.position.lat] },
    }))
    expect(trackOf(json({ type: 'FeatureCollection', features })).points).toEqual(points)
  })
})

it('sets a record of many facts with a list in it out as a sheet of its own, not as a row', () => {
  const facts = Object.fromEntries(Array.from({ length: 12 }, (_, at) => [`fact${at}`, `value ${at}`]))
  const values = [
    { name: 'pitch', value: '0.2' },
    { name: 'yaw', value: '0.4' },
  ]
  const text = allText(json({ calibrations: [{ sensor: 'Front camera', ...facts, values }] }))
  expect(text).toMatch(/sensor: +Front camera/)
  expect(text.match(/Front camera/g)).toHaveLength(1)
})

describe('lists that hold more than one kind', () => {
  const set = (value: unknown) =>
    printedLines(readJson(bytesOf(JSON.stringify(value)), hint)).filter((line) => line !== '')

  it('sets records of several kinds as tables of their own', () => {
    const session = {
      record: 'session',
      vin: '5W9',
      plate: 'HKD 481',
      taken: '2026-05-21',
      tool: 'Corvane',
      battery: '12.6 V',
    }
    const modules = ['Engine', 'Radar'].map((module) => ({ record: 'module', module, state: 'ok' }))
    const lines = set([session, ...modules, { record: 'summary', totalCodes: 0 }])
    expect(lines.map((line) => line.split(/\s{2,}/))).toEqual([
      ['record', 'vin', 'plate', 'taken', 'tool', 'battery'],
      ['session', '5W9', 'HKD 481', '2026-05-21', 'Corvane', '12.6 V'],
      ['record', 'module', 'state'],
      ['module', 'Engine', 'ok'],
      ['module', 'Radar', 'ok'],
      ['record:', 'summary'],
      ['total codes:', '0'],
    ])
  })

  it('keeps records in one table where only some lack a value', () => {
    const lines = set([
      { module: 'Engine', state: 'ok' },
      { module: 'Brakes', state: 'ok' },
      { module: 'Radar', state: 'fault', code: 'C1A67', status: 'active', text: 'angle', priority: 1 },
      { module: 'Steering', state: 'ok' },
    ])
    expect(lines[0]?.split(/\s{2,}/)).toEqual(['module', 'state', 'code', 'status', 'text', 'priority'])
    expect(lines.length).toBe(5)
  })

  it('sets heads in one list over the rows of the next', () => {
    const lines = set({ results: { columns: ['Measurement', 'Low', 'High'], rows: [['Pitch', -1.5, 1.5]] } })
    expect(lines.map((line) => line.trim().split(/\s{2,}/))).toEqual([
      ['results'],
      ['measurement', 'low', 'high'],
      ['Pitch', '-1.5', '1.5'],
    ])
  })
})
