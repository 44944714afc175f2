/** What is taken out of texts, pages and reports, in the forms in which people write it. */
import { describe, expect, test } from 'vitest'
import { makeRedactor, type Redaction, redactions, type Sensitive } from '../../src/archive/export/redactor.ts'
import { valuesOfText } from '../../src/archive/export/sensitive.ts'

const sensitive: Sensitive = {
  values: [
    { kind: 'vin', text: '7XMTD4FE4PA207483' },
    { kind: 'plate', text: '41-KR82' },
    { kind: 'people', text: 'Della Farrow' },
    { kind: 'people', text: 'Zoë O’Brannagh' },
  ],
  places: [
    [39.7312, -104.9876],
    [39.7401, -104.9911],
  ],
}
const redactor = makeRedactor(new Set(redactions), sensitive)
const only = (...kinds: Redaction[]) => makeRedactor(new Set(kinds), sensitive)

describe('a redactor', () => {
  test.each([
    ['VIN 7XMTD4FE4PA207483.', 'VIN VIN-1.'],
    ['vin=7xmtd4fe4pa207483', 'vin=VIN-1'],
    ['7XM TD4 FE4 PA 207483', 'VIN-1'],
    ['scan7XMTD4FE4PA207483b.pdf', 'scanVIN-1b.pdf'],
    ['ends in PA207483', 'ends in VIN-1'],
    ['ends in 207483, not 1207483', 'ends in VIN-1, not 1207483'],
    ['41-KR82, 41 KR 82, 41kr82', 'PLATE-1, PLATE-1, PLATE-1'],
    ['by DELLA FARROW and Farrow, Della', 'by PERSON-1 and PERSON-1, PERSON-1'],
    ['Mr Farrow; farrowing', 'Mr PERSON-1; farrowing'],
    ['Zoe\u0308 O’Brannagh, Zoë', 'PERSON-2, PERSON-2'],
    ['at 39.7355, -104.9900', 'at null, null'],
    ['<trkpt lat="39.73550" lon="-104.9900">', '<trkpt lat="null" lon="null">'],
    ['{"lat": 1.5, "lon": [2]}', '{"lat": null, "lon": null}'],
    ['location: [39.7, -105.0]', 'location: null'],
    ['location:\n  - 39.7\n  - -105.0\nnext: 1', 'location:\n  null\nnext: 1'],
    ['10:05:39.735, 13.6 V, 40.125', '10:05:39.735, 13.6 V, 40.125'],
  ])('makes of %j %j', (text, made) => {
    const replaced = redactor.replace(text)
    expect(replaced.replaceAll(/\s+/g, ' ')).toBe(made.replaceAll(/\s+/g, ' '))
    expect(redactor.isClean(replaced)).toBe(true)
  })

  test.each([
    '7XMTD4FE4PA207483',
    '7X/MT/D4/FE/4P/A2/07/48/3',
    '41 — KR82',
    'D e l l a F a r r o w',
    'ZOE',
    '$GPGGA,100512,3944.130,N,10459.400,W,1',
    'N39.7355°',
  ])('finds %j still there', (text) => {
    expect(redactor.isClean(text)).toBe(false)
  })

  test('takes no digest for a plate', () => {
    const hex = makeRedactor(new Set(['plate']), { values: [{ kind: 'plate', text: 'ABC 123' }], places: [] })
    expect(hex.isClean('a'.repeat(20) + 'abc123'.repeat(5))).toBe(true)
    expect(hex.isClean('abc123')).toBe(false)
  })

  test('takes out what was asked for alone', () => {
    const text = '7XMTD4FE4PA207483 41-KR82 Della Farrow 39.7355'
    expect(only('vin').replace(text)).toBe('VIN-1 41-KR82 Della Farrow 39.7355')
    expect(only('places').replace(text)).toBe('7XMTD4FE4PA207483 41-KR82 Della Farrow null')
    expect(only('people').words).toBe('names of people')
  })

  test('finds the words of a page that hold it, over several words too', () => {
    const words = ['VIN', '7XMTD4', 'FE4PA207483', 'Plate:', '41', 'KR82,', 'by', 'Farrow.', '(39.7355)', 'RO', '1183']
    expect([...redactor.findWords(words)].sort((a, b) => a - b)).toEqual([1, 2, 4, 5, 7, 8])
  })
})

describe('a text', () => {
  test.each([
    ['Technician: Odile Kranz', ['Odile Kranz']],
    ['Customer name | Jonte Brakvik', ['Jonte Brakvik']],
    ['watched by Keir Ottaway, 10:05', ['Keir Ottaway']],
    ['Technician: Front Camera', []],
    ['by the technician', []],
    ['people: [{ name: Ines Corrado, role: technician }]', ['Ines Corrado']],
    ['people:\n  - name: gus ambry\n    role: driver\nshop: x', ['gus ambry']],
    ['mail desk@shop.example', ['desk@shop.example']],
    ['License plate: JVT 4471', ['JVT 4471']],
    ['chassis WJ9ZZZ4TZSB041882 here', ['WJ9ZZZ4TZSB041882']],
    ['AAAAAAAAAAAAAAAAA CALIBRATIONREPORTS', []],
  ])('%j names %j', (text, named) => {
    expect(valuesOfText(text).map((one) => one.text)).toEqual(named)
  })
})
