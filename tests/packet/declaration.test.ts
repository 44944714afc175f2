import { Ajv2020 } from 'ajv/dist/2020.js'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import packetSchema from '../../schemas/packet.schema.json' with { type: 'json' }
import { documentKinds, sensors } from '../../src/facts/document.ts'
import { findNearestName } from '../../src/facts/nearest-name.ts'
import { formatFaults, parseDeclaration } from '../../src/packet/declaration.ts'

const whole = `packet: 1
zone: America/Denver            # the zone of clocks that print none
job: 00731
claim: C-1
vehicle: { vin: 7XWBC2RT4NK000123, plate: ABC 123, year: 2021 }
loss: 2026-03-02
intake: 2026-03-09T08:10
release: 2026-03-14
files: { "scan 1.pdf": { kind: pre-scan } }
repairs: [ { what: "Windshield replaced", ended: 2026-03-12T15:00 } ]
calibrations: [ { sensor: front-camera, method: static }, { sensor: front-radar, method: dynamic } ]
notNeeded: [ { sensor: ultrasonic, because: "bumper not removed" } ]
people: [ { name: A. Tester, role: technician } ]
shop: { name: Invented Body Works, location: [39.7, -105.0] }
`

const faultsOf = (text: string): string[] => {
  const { faults } = parseDeclaration(text)
  return formatFaults(faults)
    .split('\n')
    .filter((line) => line !== '')
}

describe('a declaration', () => {
  it('is read as written, numbers of jobs and all', () => {
    const { declaration } = parseDeclaration(whole)
    expect(declaration).toMatchObject({
      zone: 'America/Denver',
      job: '00731',
      vehicle: { vin: '7XWBC2RT4NK000123', plate: 'ABC 123', year: 2021 },
      intake: '2026-03-09T08:10',
      files: { 'scan 1.pdf': { kind: 'pre-scan' } },
      shop: { location: [39.7, -105] },
    })
    expect(declaration).not.toHaveProperty('packet')
  })

  it('gives each path its place', () => {
    const places = parseDeclaration(whole).declaration?.places
    expect(places?.['repairs.0.ended']).toEqual({
      file: 'packet.yaml',
      page: 1,
      box: [43, 10, 66, 10],
      text: 'ended: 2026-03-12T15:00',
    })
    expect(places?.['files.scan 1.pdf.kind']?.text).toBe('kind: pre-scan')
    expect(places?.release?.box).toEqual([1, 8, 20, 8])
  })

  it('needs nothing but its version', () => {
    expect(parseDeclaration('packet: 1\n').declaration).toMatchObject({ places: { packet: { text: 'packet: 1' } } })
  })
})

describe('faults', () => {
  it('are all reported at once, by line and column, with the nearest name', () => {
    expect(
      faultsOf(`packet: 2
zoen: Denver
zone: Denver
intake:
loss: 2026-02-30
release: yesterday
vehicle: { vin: ABC, yeer: 2021 }
files: { a.pdf: { kind: prescan } }
calibrations: [ { sensor: front-radr } ]
repairs: { what: x }
`),
    ).toEqual([
      'packet.yaml:1:1: packet must be 1, the version of the format that this program reads',
      'packet.yaml:2:1: zoen is not a key known here; did you mean zone?',
      'packet.yaml:3:1: zone "Denver" is not an IANA time zone name; write one such as America/Denver',
      'packet.yaml:4:1: intake is empty; it must be text',
      'packet.yaml:5:1: loss "2026-02-30" does not exist: no such day, time of day or offset',
      'packet.yaml:6:1: release is not a date; write YYYY-MM-DD, YYYY-MM-DDTHH:MM, or the same with Z or an offset such as -06:00',
      'packet.yaml:7:12: vehicle.vin is not a VIN: 17 letters and digits without I, O and Q',
      'packet.yaml:7:22: vehicle.yeer is not a key known here; did you mean year?',
      'packet.yaml:8:19: files.a.pdf.kind "prescan" is not known here; did you mean pre-scan?',
      'packet.yaml:9:19: calibrations.0.sensor "front-radr" is not known here; did you mean front-radar?',
      'packet.yaml:10:1: repairs must be a list',
    ])
  })

  it.each([
    ['intake: 2026-03-09T25:10', 'does not exist'],
    ['intake: 2026-03-09T10:00+15:00', 'does not exist'],
    ['intake: 0026-03-09', 'does not exist'],
    ['zone: -06:00', 'not an IANA time zone'],
    ['job: ""', 'fewer than 1'],
    ['claim: "  "', 'must not be blank'],
    ['shop: { location: [100, 5] }', 'must be <= 90'],
    ['job: !!binary aGk=', 'has a tag'],
    ['job: 1\njob: 2', 'unique'],
    ['__proto__: 3', 'not a key known here'],
    ['? [a]\n: b', 'not a word'],
    ['people: [ { name: A } ]', 'lacks "role"'],
    ['---\npacket: 1', 'second document'],
  ])('%s', (line, message) => {
    const { declaration, faults } = parseDeclaration(`packet: 1\n${line}\n`)
    expect(declaration).toBeNull()
    expect(faults).toHaveLength(1)
    expect(faults[0]?.message).toContain(message)
    expect(faults[0]?.line).toBeGreaterThan(1)
  })

  it('refuses aliases, so that none can multiply', () => {
    const bomb = `packet: 1\na: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n`
    expect(faultsOf(bomb).filter((line) => line.includes('alias'))).toHaveLength(4)
  })

  it.each(['['.repeat(100_000), `packet: 1\nx: ${'- '.repeat(30_000)}`, 'x'.repeat(300_000), '', 'hello', '\u0000'])(
    'refuses what is no declaration without breaking (%#)',
    (text) => {
      const { declaration, faults } = parseDeclaration(text)
      expect(declaration).toBeNull()
      expect(faults.length).toBeGreaterThan(0)
      expect(faults.length).toBeLessThan(5)
    },
  )

  it('never throws', () => {
    const fragment = fc.constantFrom(
      'packet: 1',
      '\n',
      ': ',
      '- ',
      '[',
      ']',
      '{',
      '}',
      '&a',
      '*a',
      '"',
      "'",
      'zone',
      '!!',
      '|',
      '  ',
      '#',
    )
    fc.assert(
      fc.property(fc.array(fragment, { maxLength: 40 }), (parts) => {
        const { declaration, faults } = parseDeclaration(parts.join(''))
        expect(declaration === null).toBe(faults.length > 0)
      }),
      { numRuns: 500, seed: 5 },
    )
  })
})

describe('the schema', () => {
  it('lists the kinds and sensors of the vocabulary', () => {
    expect(packetSchema.properties.files.additionalProperties.properties.kind.enum).toEqual([...documentKinds])
    expect(packetSchema.$defs.sensor.enum).toEqual([...sensors])
  })

  it('is a valid JSON Schema of 2020-12', () => {
    expect(new Ajv2020().validateSchema(packetSchema)).toBe(true)
  })
})

describe('the nearest name', () => {
  it.each([
    ['relase', 'release'],
    ['not_needed', 'notNeeded'],
    ['Zone', 'zone'],
    ['qwerty', null],
  ])('%s', (written, expected) => {
    expect(findNearestName(written, ['zone', 'release', 'notNeeded'])).toBe(expected)
  })
})
