import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { renderCsv } from '../../src/report/csv.ts'
import { makeFinding, makeReport } from './invented.ts'

/** By another reader of RFC 4180. */
const read = (text: string): Record<string, string>[] => parse(text, { bom: true, columns: true })

describe('the table', () => {
  test('has one finding a row, with its first place, rule, remedy and who is exposed', () => {
    expect(read(renderCsv(makeReport()))).toEqual([
      {
        verdict: 'FAIL',
        group: 'identity',
        check: 'vin-agrees',
        reason: 'one.pdf shows another VIN than two.pdf.',
        file: 'one.pdf',
        page: '2',
        words: '1Q9ZZ',
        'all places': 'one.pdf, page 2: “1Q9ZZ”',
        readings: '',
        rule: 'One VIN is assigned to one vehicle.',
        rulebook: 'rulebook general 1.0.0 of 2026-01-01',
        remedy: 'Read the VIN at the vehicle.',
        suppliers: 'the shop',
        'exposed to': 'shop, to a packet that mixes two vehicles | insurer, to paying for another vehicle',
        packet: 'job 12',
        vin: '1Q9ZZ1A10TB000001',
        reviewed: '2026-06-30',
      },
    ])
  })

  test('begins with a byte order mark and ends each record with CRLF (RFC 4180, 2.1; RFC 3629, 6)', () => {
    const text = renderCsv(makeReport())
    expect([...new TextEncoder().encode(text).subarray(0, 3)]).toEqual([0xef, 0xbb, 0xbf])
    expect(text.split('\r\n')).toHaveLength(3)
    expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
  })

  test('keeps quotes, commas and letters of any script', () => {
    const reason = 'He wrote "ok", then 測定, Größe'
    expect(read(renderCsv(makeReport({ findings: [makeFinding({ reason })] })))[0]?.reason).toBe(reason)
  })

  test('a passing finding has no remedy, and a finding without a rule says so', () => {
    const { rule: _, remedy: __, ...rest } = makeFinding({ verdict: 'pass', evidence: [] })
    const [row] = read(renderCsv(makeReport({ findings: [rest] })))
    expect(row).toMatchObject({ remedy: '', suppliers: '', rulebook: 'none', file: '', page: '', words: '' })
  })
})

/**
 * OWASP, "CSV Injection": cells that begin with = + - @, tab or carriage return, also in full width, and with separators
 * and quotes before them. From memory; the list is longer here.
 */
const signs = ['=', '+', '-', '@', '＝', '＋', '－', '＠', '−']
const before = [
  '',
  ' ',
  '  ',
  '"',
  "'",
  '""',
  '\t',
  '\r',
  '\n',
  '\r\n',
  '\u00a0',
  '\u3000',
  '\u2003',
  '“',
  '\u200b',
  '\ufeff',
]

describe('a formula', () => {
  const cellOf = (text: string) => read(renderCsv(makeReport({ findings: [makeFinding({ reason: text })] })))[0]?.reason

  test.each(signs.flatMap((sign) => before.map((start) => [start + sign])))('%j begins no cell', (start) => {
    expect(cellOf(`${start}1+1`)).toMatch(/^('|<U\+)/)
  })

  test.each([';', '|', ';"', '; '])(
    'begins none after %j either, where another separator is taken for ours',
    (separator) => {
      expect(cellOf(`a${separator}=1+1`)).toBe(
        `a${separator === ';"' ? `;'"` : separator === '; ' ? ";' " : `${separator}'`}=1+1`,
      )
    },
  )

  test('is nowhere, whatever the files hold and at whatever separator the table is split', { timeout: 60_000 }, () => {
    const piece = fc.oneof(
      fc.constantFrom(...signs, ...before, ';', '|', ',', 'a', '1', '<', '\u202e'),
      fc.string({ unit: 'binary', maxLength: 2 }),
    )
    const text = fc.array(piece, { maxLength: 8 }).map((pieces) => pieces.join(''))
    fc.assert(
      fc.property(text, text, (one, two) => {
        const evidence = [{ file: two, page: 1, text: one }]
        const finding = makeFinding({ reason: one, basis: two, remedy: one, evidence })
        const csv = renderCsv(makeReport({ packet: one, vehicle: { vin: two }, findings: [finding] }))
        const cells = read(csv).flatMap((row) => Object.values(row))
        const pieces = cells.flatMap((cell) => cell.split(/[;|\t\r\n]/))
        for (const cell of pieces) expect(cell).not.toMatch(/^[\s"\p{Zs}\p{Cf}]*[=+\-@＝＋－＠]/u)
      }),
    )
  })

  test('is not seen where none is: such cells stay as they are', () => {
    for (const text of ['a=b', '2026-01-01', 'S-5', 'a@b.example', '12 + 3', 'x, -1']) expect(cellOf(text)).toBe(text)
  })
})
