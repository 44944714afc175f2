import { describe, expect, it } from 'vitest'
import { readDelimited } from '../../src/reading/delimited.ts'
import { readDelimitedRows, sniffDelimiter } from '../../src/reading/delimited-rows.ts'
import { bytesOf, cellsOf, codesOf, hint, printedLines, trackOf } from './text-reading.ts'

const rows = (text: string) => readDelimitedRows(text)?.rows

// RFC 4180, section 2, rules 1 to 7.
describe('RFC 4180', () => {
  it.each([
    [
      'rule 1, records on lines',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 2, no last line end',
      'aaa,bbb,ccc\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 5, quotes',
      '"aaa","bbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'bbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 6, line end in a field',
      '"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b\r\nbb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
    [
      'rule 7, doubled quotes',
      '"aaa","b""bb","ccc"\r\nzzz,yyy,xxx',
      [
        ['aaa', 'b"bb', 'ccc'],
        ['zzz', 'yyy', 'xxx'],
      ],
    ],
  ])('%s', (_, text, expected) => {
    expect(rows(text)).toEqual(expected)
  })
})

describe('the delimiter', () => {
  it.each([
    ['comma', 'module,code,status\nRadar,C1A67,active\nABS,,ok\n', ','],
    ['semicolon with decimal commas', 'Zeit;Wert;Soll\n1;3,25;3,30\n2;3,26;3,30\n3;3,27;3,30\n', ';'],
    ['tab with commas in text', 'item\ttext\n1\tbumper, front\n2\tlamp, left\n', '\t'],
    ['bar', 'module|code\nRadar|C1A67\nABS|none\n', '|'],
    ['comma with semicolons in one column', 'module,codes\nRadar,C1A67;U0155\nABS,C0034;C0035\n', ','],
    ['commas inside quotes', 'a;b\n"1,2,3";x\n"4,5,6";y\n', ';'],
  ])('%s', (_, text, expected) => {
    expect(sniffDelimiter(text)).toBe(expected)
  })

  it('is none in running text', () => {
    expect(sniffDelimiter('The lamp is on.\nThe radar was aligned.\nNothing else was done.\n')).toBeNull()
  })

  it('is taken from a sep= line', () => {
    expect(rows('sep=;\na;b,c\nd;e\n')).toEqual([
      ['a', 'b,c'],
      ['d', 'e'],
    ])
  })
})

describe('liberties', () => {
  it('keeps a title, key and value lines, comments and ragged rows', () => {
    expect(
      rows('Scan report\nVIN,5W9HA4E2XNB104472\n# made by hand, twice\n\nmodule,code,status\nRadar,C1A67\n'),
    ).toEqual([
      ['Scan report'],
      ['VIN', '5W9HA4E2XNB104472'],
      ['# made by hand, twice'],
      [],
      ['module', 'code', 'status'],
      ['Radar', 'C1A67'],
    ])
  })

  it('reads a column called # as a column', () => {
    expect(rows('#,module\n1,Radar\n2,ABS\n')?.[0]).toEqual(['#', 'module'])
  })

  it('reads inch marks and blanks around quotes', () => {
    expect(rows('part,size\nrotor,12" vented\n "pad" , "6"" wide"\n')).toEqual([
      ['part', 'size'],
      ['rotor', '12" vented'],
      ['pad', '6" wide'],
    ])
  })

  it('reads on after a quote that is never closed', () => {
    const read = readDelimitedRows('a,b\n1,2\n"3,4\n5,6\n')
    expect(read?.rows.slice(0, 2)).toEqual([
      ['a', 'b'],
      ['1', '2'],
    ])
    expect(read?.rows[3]).toEqual(['5', '6'])
    expect(codesOf({ problems: read?.problems ?? [] })).toEqual(['quote-not-closed'])
  })
})

describe('on the grid', () => {
  const report =
    'Post scan;7\nVIN;5W9HA4E2XNB104472\n\nmodule;code;status\n"Forward\ncamera";C1A67-54;active now\nABS;;ok\n'
  const reading = readDelimited(bytesOf(report), hint)

  it('lines up the columns as on paper', () => {
    expect(printedLines(reading)).toEqual([
      'Post scan   7',
      'VIN         5W9HA4E2XNB104472',
      '',
      'module    code       status',
      'Forward   C1A67-54   active now',
      'camera',
      'ABS                  ok',
    ])
    expect(reading.problems).toEqual([])
    expect(reading.track).toBeUndefined()
  })

  it('tells the cell of every word', () => {
    const cells = cellsOf(reading)
    expect(cells.get('1,1')).toBe('5W9HA4E2XNB104472')
    expect(cells.get('4,0')).toBe('Forward camera')
    expect(cells.get('4,2')).toBe('active now')
    expect(cells.get('5,2')).toBe('ok')
    expect(cells.has('5,1')).toBe(false)
  })

  it('gives boxes of 6 by 12 points a character', () => {
    const word = reading.pages[0]?.words.find(({ text }) => text === 'C1A67-54')
    expect(word?.box).toEqual([60, 49, 108, 59])
    expect(word?.size).toBe(10)
  })

  it('shows only the ends of a long drive log but keeps every sample', () => {
    const samples = Array.from({ length: 500 }, (_, second) => `${second},${second % 60}`)
    const read = readDelimited(bytesOf(`VIN,5W9HA4E2XNB104472\nelapsed_s,speed_kmh\n${samples.join('\n')}\n`), hint)
    expect(trackOf(read).points).toHaveLength(500)
    const lines = printedLines(read)
    expect(lines).toHaveLength(2 + 50 + 10)
    expect(lines.at(-1)).toMatch(/^499 +19$/)
    expect(read.problems).toEqual([])
  })
})

it('says that an empty file is empty', () => {
  expect(codesOf(readDelimited(bytesOf(' \n'), hint))).toEqual(['empty'])
})
