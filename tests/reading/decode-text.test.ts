import { describe, expect, it } from 'vitest'
import { decodeText, splitLines } from '../../src/reading/decode-text.ts'
import { bytesOf, codesOf } from './text-reading.ts'

const bytes = (...values: number[]) => new Uint8Array(values)

describe('encodings', () => {
  it('drops the byte order mark of UTF-8', () => {
    expect(decodeText(bytes(0xef, 0xbb, 0xbf, 0x41))).toEqual({ text: 'A', encoding: 'utf-8', problems: [] })
  })

  // RFC 3629, section 7: A, not identical to, alpha, full stop; "hangugeo" in Korean.
  it('reads the examples of RFC 3629', () => {
    expect(decodeText(bytes(0x41, 0xe2, 0x89, 0xa2, 0xce, 0x91, 0x2e)).text).toBe('A\u2262\u0391.')
    expect(decodeText(bytes(0xed, 0x95, 0x9c, 0xea, 0xb5, 0xad, 0xec, 0x96, 0xb4)).text).toBe('\ud55c\uad6d\uc5b4')
  })

  it('reads UTF-16 with a mark', () => {
    expect(decodeText(bytes(0xff, 0xfe, 0x56, 0, 0x49, 0, 0x4e, 0)).text).toBe('VIN')
    expect(decodeText(bytes(0xfe, 0xff, 0, 0x56, 0, 0x49, 0, 0x4e)).text).toBe('VIN')
  })

  it('reads UTF-16 without a mark by its zero bytes', () => {
    const text = 'Speed (km/h);42\r\n'
    const little = new Uint8Array([...text].flatMap((character) => [character.charCodeAt(0), 0]))
    const big = new Uint8Array([...text].flatMap((character) => [0, character.charCodeAt(0)]))
    expect(decodeText(little)).toEqual({ text, encoding: 'utf-16le', problems: [] })
    expect(decodeText(big)).toEqual({ text, encoding: 'utf-16be', problems: [] })
  })

  // Windows-1252: 0x80 euro sign, 0xB0 degree sign, 0xFC u with diaeresis (WHATWG encoding standard, index).
  it('falls back to Windows-1252', () => {
    const read = decodeText(bytes(0x50, 0x72, 0xfc, 0x66, 0x20, 0x33, 0xb0, 0x20, 0x80))
    expect(read).toEqual({ text: 'Prüf 3° €', encoding: 'windows-1252', problems: [] })
  })

  it('keeps UTF-8 with a cut or broken character and says so', () => {
    const cut = decodeText(bytesOf('Prüfung größer ü').subarray(0, -1))
    expect(cut.text).toBe('Prüfung größer \uFFFD')
    expect(codesOf(cut)).toEqual(['bad-encoding'])
  })

  it('makes lone surrogates well-formed', () => {
    expect(decodeText(bytes(0xff, 0xfe, 0x41, 0, 0, 0xd8, 0x42, 0)).text).toBe('A\uFFFDB')
  })
})

describe('what is no text', () => {
  it('reads few control characters as blanks, with a problem', () => {
    const read = decodeText(bytesOf(`VIN\u0000 5W9HA4E2XNB104472 ${'x'.repeat(100)}`))
    expect(read.text.startsWith('VIN  5W9')).toBe(true)
    expect(codesOf(read)).toEqual(['control-characters'])
  })

  it('refuses what is mostly control characters', () => {
    const read = decodeText(new Uint8Array(1000).map((_, index) => index % 32))
    expect(read.text).toBe('')
    expect(codesOf(read)).toEqual(['not-text'])
  })
})

describe('limits', () => {
  it('cuts long lines, long files and many lines, each with its problem', () => {
    const line = decodeText(bytesOf(`${'a'.repeat(20)}\nb`), { longestLine: 5 })
    expect(line.text).toBe('aaaaa\nb')
    expect(codesOf(line)).toEqual(['line-too-long'])
    const long = decodeText(bytesOf('abcdefgh'), { mostBytes: 3 })
    expect(long.text).toBe('abc')
    expect(codesOf(long)).toEqual(['too-large'])
    const many = decodeText(bytesOf('1\n2\n3\n4\n'), { mostLines: 2 })
    expect(many.text).toBe('1\n2')
    expect(codesOf(many)).toEqual(['too-large'])
  })
})

describe('lines', () => {
  it('end at CR LF, LF or CR', () => {
    expect(splitLines('a\r\nb\nc\rd')).toEqual(['a', 'b', 'c', 'd'])
    expect(splitLines('a\n\n')).toEqual(['a', ''])
  })
})
