import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { makeSheet, type Style, span } from '../../src/report/sheet.ts'
import { cutWord, formatJson, measureText, neutralise } from '../../src/report/terminal-text.ts'

// ECMA-48 control sequences, UAX 9 reordering marks and other characters that show nothing or something else.
const steering = /[\p{Cc}\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f\ufeff\u{e0000}-\u{e007f}]/u

describe('neutralise', () => {
  test.each([
    ['\u001b[31mred\u001b[0m', '<U+001B>[31mred<U+001B>[0m'],
    ['\u009b31m', '<U+009B>31m'],
    ['a\r\nb\tc', 'a b c'],
    ['invoice\u202Efdp.exe', 'invoice<U+202E>fdp.exe'],
    ['\u2066hidden\u2069', '<U+2066>hidden<U+2069>'],
    ['zero\u200Bwidth', 'zero<U+200B>width'],
    ['tag\u{E0041}', 'tag<U+E0041>'],
    ['half a pair \uD800', 'half a pair <U+D800>'],
    ['Größe 測定 é', 'Größe 測定 é'],
  ])('%j', (text, expected) => {
    expect(neutralise(text)).toBe(expected)
  })

  test('leaves nothing that steers, whatever comes', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        expect(steering.test(neutralise(text))).toBe(false)
      }),
    )
  })
})

describe('formatJson', () => {
  test('means the same, and is safe to show', () => {
    fc.assert(
      fc.property(fc.jsonValue({ stringUnit: 'binary' }), (value) => {
        const text = formatJson(value)
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)))
        expect(steering.test(text.replaceAll('\n', ''))).toBe(false)
      }),
    )
  })

  test('writes characters beyond the basic plane as pairs', () => {
    expect(formatJson('\u{E0041}\u202e')).toBe('"\\udb40\\udc41\\u202e"\n')
  })
})

describe('measureText', () => {
  // Unicode Standard Annex 11 (East Asian Width): wide and fullwidth take two columns; combining marks take none.
  test.each([
    ['abc', 3],
    ['測定', 4],
    ['Ａ', 2],
    ['ｱ', 1],
    ['e\u0301', 1],
    ['👍🏽', 2],
    ['', 0],
  ])('%j takes %i', (text, expected) => {
    expect(measureText(text)).toBe(expected)
  })
})

describe('cutWord', () => {
  test('cuts between characters as people see them', () => {
    expect(cutWord('測定器校正', 4)).toEqual(['測定', '器校', '正'])
    expect(cutWord('e\u0301e\u0301e\u0301', 2)).toEqual(['e\u0301e\u0301', 'e\u0301'])
  })
})

describe('a sheet', () => {
  const word = fc.string({
    unit: fc.constantFrom('a', 'Z', '測', 'é', 'e\u0301', '-', '\u001b', '\u202e', '👍'),
    maxLength: 60,
  })
  const spans = fc.array(
    fc.record({
      text: fc.array(word).map((words) => words.join(' ')),
      style: fc.constantFrom<Style>('plain', 'bad', 'quiet'),
    }),
  )

  test('has no line wider than asked for, and loses no word', () => {
    fc.assert(
      fc.property(spans, fc.integer({ min: 40, max: 120 }), (content, width) => {
        const sheet = makeSheet({ width, color: false })
        sheet.write(content, { first: '  - ', rest: '    ' })
        const text = sheet.toString()
        for (const line of text.split('\n')) expect(measureText(line)).toBeLessThanOrEqual(width)
        const letters = (all: string) => all.replaceAll(/[ \n]/g, '')
        const given = letters(content.map((one) => neutralise(one.text)).join(''))
        expect(letters(text).replace(/^-/, '')).toBe(given)
      }),
    )
  })

  test('shows the same words with colour as without', () => {
    fc.assert(
      fc.property(spans, (content) => {
        const [plain, colored] = [false, true].map((color) => {
          const sheet = makeSheet({ width: 60, color })
          sheet.write(content)
          return sheet.toString()
        })
        expect(colored?.replaceAll(/\u001b\[[\d;]*m/g, '')).toBe(plain)
      }),
    )
  })

  test('keeps words of neighbouring spans apart only where there is a space', () => {
    const sheet = makeSheet({ width: 60, color: false })
    sheet.write([span('FAIL', 'bad'), span(' one'), span('two '), span('three')])
    expect(sheet.toString()).toBe('FAIL onetwo three\n')
  })
})
