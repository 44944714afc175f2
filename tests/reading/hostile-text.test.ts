import { describe, expect, it } from 'vitest'
import type { Reading } from '../../src/facts/reading.ts'
import { readDelimited } from '../../src/reading/delimited.ts'
import { readGpx } from '../../src/reading/gpx.ts'
import { readNmea } from '../../src/reading/nmea.ts'
import { readPlainText } from '../../src/reading/plain-text.ts'
import { readJson, readXml, readYaml } from '../../src/reading/structured.ts'
import { allText, bytesOf, codesOf, hint } from './text-reading.ts'

/** Far above what any of these takes on a slow machine, far below what a hang takes. */
const patience = 30_000
const mostWords = 150_000

const readers = { readDelimited, readPlainText, readNmea, readGpx, readJson, readXml, readYaml }

/** Bytes of a linear congruential generator (ANSI C constants): random, and the same on every run. */
function randomBytes(length: number): Uint8Array {
  let state = 1
  return new Uint8Array(length).map(() => {
    state = (Math.imul(state, 1_103_515_245) + 12_345) & 0x7fffffff
    return state >> 16
  })
}

const laughs = `<!DOCTYPE z [<!ENTITY l "lol">${Array.from({ length: 9 }, (_, level) => `<!ENTITY l${level + 1} "${`&l${level || ''};`.repeat(10)}">`).join('')}]><z>&l9;</z>`
const yamlLaughs = `a: &a [lol, lol]\n${[...'bcdefghi'].map((name, at) => `${name}: &${name} [${Array(9).fill(`*${'abcdefghi'[at]}`).join(', ')}]`).join('\n')}\n`
const numbers = Array.from({ length: 1_000_000 }, (_, at) => at).join(',')

/** Input for all readers: each ends in a problem or in words within the limits. */
const inputs: Record<string, () => Uint8Array> = {
  'random bytes': () => randomBytes(500_000),
  'zero bytes': () => new Uint8Array(500_000),
  'bytes FF': () => new Uint8Array(500_000).fill(0xff),
  'broken UTF-8': () => bytesOf('VIN;x\n1;2\n').map((byte, at) => (at === 4 ? 0xc3 : byte)),
  'lone surrogates in UTF-16': () => new Uint8Array([0xff, 0xfe, 0x41, 0, 0, 0xd8, 0, 0xdc, 0, 0xdc, 0x42, 0]),
  'one line of 50 MB': () => new Uint8Array(50_000_000).fill(0x61),
  'ten million blanks': () => bytesOf(' '.repeat(10_000_000)),
  'two million line ends': () => bytesOf('x\n'.repeat(2_000_000)),
  'a million form feeds': () => bytesOf('\f'.repeat(1_000_000)),
  'leader dots without end': () => bytesOf('. '.repeat(1_000_000)),
  'a row of a million columns': () => bytesOf(`${numbers}\n${numbers}\n`),
  'a quote never closed': () => bytesOf(`a,b\n"x,1\n${'2,3\n'.repeat(300_000)}`),
  'nothing but quotes': () => bytesOf('"'.repeat(3_000_000)),
  'a quote a line': () => bytesOf('"\n'.repeat(300_000)),
  'XML of a billion laughs': () => bytesOf(laughs),
  'YAML of a billion laughs': () => bytesOf(yamlLaughs),
  'a hundred thousand brackets': () => bytesOf('['.repeat(100_000)),
  'a hundred thousand objects': () => bytesOf('{"a":'.repeat(100_000)),
  'a hundred thousand elements deep': () => bytesOf('<a>'.repeat(100_000)),
  'a list in a list, three thousand times': () => bytesOf(`${'- '.repeat(3_000)}a\n`),
  'maps three thousand deep': () =>
    bytesOf(Array.from({ length: 3_000 }, (_, depth) => `${' '.repeat(depth)}a:`).join('\n')),
  'two hundred thousand keys': () =>
    bytesOf(`{${Array.from({ length: 200_000 }, (_, at) => `"k${at}":${at}`).join(',')}}`),
  'the same key, fifty thousand times': () => bytesOf(`{${Array(50_000).fill('"a":1').join(',')}}`),
  'a hundred thousand attributes': () =>
    bytesOf(`<a ${Array.from({ length: 100_000 }, (_, at) => `a${at}="1"`).join(' ')}/>`),
  'a million unknown entities': () => bytesOf(`<a>${'&x;'.repeat(1_000_000)}</a>`),
  'a million opening brackets of tags': () => bytesOf('<'.repeat(1_000_000)),
  'sentences that never end': () => bytesOf('$GPRMC,'.repeat(300_000)),
  'wrong checksums': () => bytesOf('$GPRMC,1*00\n'.repeat(100_000)),
  'points out of range': () => bytesOf(`<gpx><trk><trkseg>${'<trkpt lat="x" lon="999"/>'.repeat(100_000)}`),
  'a drive without one usable row': () =>
    bytesOf(`time,lat,lon,speed mph\n${'2026-01-01T00:00:00Z,91,181,-1\n'.repeat(50_000)}`),
  'a key of capital letters': () => bytesOf(`{"${'A'.repeat(300_000)}":1}`),
  'bars, and a word behind them': () => bytesOf(`${'| '.repeat(300_000)}x\n`),
  'a delimiter and nothing else': () => bytesOf('sep=,\n'),
  'nothing but headers': () => bytesOf('time,speed mph\n'.repeat(50_000)),
}

describe.each(Object.entries(inputs))('%s', (_, make) => {
  it.each(Object.entries(readers))(
    '%s',
    (_name, read) => {
      const bytes = make()
      const started = performance.now()
      const reading: Reading = read(bytes, hint)
      expect(performance.now() - started).toBeLessThan(patience)
      const words = reading.pages.reduce((sum, page) => sum + page.words.length, 0)
      expect(words).toBeLessThanOrEqual(mostWords * 2)
      expect(words > 0 || reading.problems.length > 0).toBe(true)
      expect(reading.track?.points.every((point) => Number.isFinite(point.time ?? 0)) ?? true).toBe(true)
      expect(reading.pages.every((page) => page.words.every((word) => word.text.isWellFormed()))).toBe(true)
    },
    patience,
  )
})

describe('the right reader says what is wrong', () => {
  it.each([
    ['XML of a billion laughs', readXml, 'doctype'],
    ['XML of a billion laughs', readGpx, 'doctype'],
    ['YAML of a billion laughs', readYaml, 'alias-limit'],
    ['a hundred thousand brackets', readJson, 'too-deep'],
    ['a hundred thousand objects', readJson, 'too-deep'],
    ['a hundred thousand elements deep', readXml, 'too-deep'],
    ['maps three thousand deep', readYaml, 'too-large'],
    ['a list in a list, three thousand times', readYaml, 'too-deep'],
    ['one line of 50 MB', readPlainText, 'line-too-long'],
    ['one line of 50 MB', readDelimited, 'too-large'],
    ['random bytes', readDelimited, 'not-text'],
    ['a row of a million columns', readDelimited, 'line-too-long'],
    ['a quote never closed', readDelimited, 'quote-not-closed'],
    ['wrong checksums', readNmea, 'bad-checksum'],
    ['points out of range', readGpx, 'no-points'],
    ['the same key, fifty thousand times', readJson, 'duplicate-key'],
  ])(
    '%s: %o',
    (name, read, code) => {
      const make = inputs[name]
      if (!make) throw new Error(`no input called ${name}`)
      expect(codesOf(read(make(), hint))).toContain(code)
    },
    patience,
  )

  it('never expands an entity', () => {
    expect(allText(readXml(bytesOf(laughs), hint))).not.toContain('lol')
  })
})

describe('cut files', () => {
  const gpx = bytesOf(
    '<gpx><trk><name>VIN 5W9HA4E2XNB104472 é</name><trkseg><trkpt lat="1" lon="2"><time>2026-05-21T19:12:20Z</time></trkpt></trkseg></trk></gpx>',
  )
  const json = bytesOf('{"vin":"5W9HA4E2XNB104472 é","codes":[{"code":"C1A67","x":[1,-2.5e3,true,null,"\\u00e9"]}]}')
  const csv = bytesOf('# VIN é\n"time","speed km/h"\r\n"2026-05-21T19:12:20Z","36"\r\n"2026-05-21T19:12:21Z","36"\r\n')

  it('are read at every length', () => {
    for (const [whole, read] of [
      [gpx, readGpx],
      [gpx, readXml],
      [json, readJson],
      [json, readYaml],
      [csv, readDelimited],
      [csv, readPlainText],
    ] as const) {
      for (let length = 0; length <= whole.length; length++) {
        const reading = read(whole.subarray(0, length), hint)
        const words = reading.pages.flatMap((page) => page.words)
        expect(words.length > 0 || reading.problems.length > 0, `${read.name} at ${length}`).toBe(true)
      }
    }
  })
})
