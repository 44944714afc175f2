/** Trouble codes of scans in pictures. By SAE J2012 a code is one of P, C, B, U, a digit 0 to 3 and three hexadecimal digits. */
import { describe, expect, test } from 'vitest'
import { illegible } from '../../../src/facts/illegible.ts'
import type { Word } from '../../../src/facts/reading.ts'
import { recogniseDocument } from '../../../src/facts/recognise/document.ts'
import { formatTroubleCode, type TroubleCode } from '../../../src/facts/trouble-code.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { typed } from '../../reading/page-builder.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

/** Words as a reader of pictures gives them: what stands in brackets, `[U0I55]`, is too doubtful to use. */
function pictured(lines: readonly string[], confidence = 92) {
  const { words, ...page } = typed(lines)
  const seen = words.map((word): Word => {
    const doubtful = /^\[(\S+)\]$/.exec(word.text)?.[1]
    return { ...word, confidence, ...(doubtful === undefined ? {} : { text: illegible, readAs: doubtful }) }
  })
  return { ...page, words: seen }
}

function scan(lines: readonly string[], known: readonly TroubleCode[] = [], page = pictured(lines)) {
  const reading = { media: 'image/png', pages: [page], problems: [{ code: 'read-from-picture', message: 'x' }] }
  const source = { file: 'scan.png', sha256: '', bytes: 1, media: 'image/png', kind: 'post-scan' } as const
  const {
    codes = [],
    unreadCodes,
    problems,
    evidence,
  } = recogniseDocument(reading, layOut([page]), source, vocabulary, known)
  const told = problems.filter(({ code }) => code !== 'read-from-picture')
  return { codes: codes.map(formatTroubleCode), unreadCodes, problems: told.map(({ code }) => code), told, evidence }
}

const table = (code: string) => [
  'Module           Code           Description              Status',
  `Front camera     ${code.padEnd(15)}Missing calibration      Active`,
]
const inTable = (code: string, known: readonly TroubleCode[] = []) => scan(table(code), known)

describe('a code in a column of codes', () => {
  test.each([
    ['C1234-54', 'C1234-54'],
    ['U0131:87', 'U0131-87'],
    ['B1325 54', 'B1325-54'],
  ])('%s keeps its failure type and is not remarked on', (printed, code) => {
    expect(inTable(printed)).toMatchObject({ codes: [code], problems: [] })
  })

  test.each([
    ['UO131:87', 'U0131-87'],
    ['BOF8D-50', 'B0F8D-50'],
    ['PODAC/8D', 'P0DAC-8D'],
    ['UlEBE', 'U1EBE'],
    ['UI55A-B7', 'U155A-B7'],
    ['P1D8S', 'P1D85'],
    ['UDI55-87', 'U0155-87'],
    ['CZ23l', 'C2231'],
    ['u2D4C:I3', 'U2D4C-13'],
    ['B1325 S4', 'B1325-54'],
    // A digit and its look-alike, read side by side of one mark.
    ['CI12E4:8E', 'C12E4-8E'],
    ['U2AS5A', 'U2A5A'],
  ])('%s is %s, which is remarked on', (read, code) => {
    const { codes, unreadCodes, problems, told } = inTable(read)
    expect({ codes, unreadCodes, problems }).toEqual({
      codes: [code],
      unreadCodes: undefined,
      problems: ['look-alikes-chosen'],
    })
    expect(told[0]?.message).toContain('settled by the structure of a trouble code')
    expect(told[0]?.message).toContain(`first read as ${read.split(' ').at(-1)}`)
  })

  // A G is as like a C as a 6.
  test('that may be several is left out, with what it may be', () => {
    const { codes, told } = inTable('U0G55-87')
    expect(codes).toEqual([])
    expect(told).toEqual([
      {
        code: 'unread-code',
        message:
          '"U0G55-87" on page 1 stands where a trouble code does and cannot be read surely; it may be U0655-87 or U0C55-87',
      },
    ])
  })

  test('that may be several is the one that another document lists', () => {
    const known = [{ code: 'U0C55', failureType: '87' }]
    const { codes, told } = inTable('U0G55-87', known)
    expect(codes).toEqual(['U0C55-87'])
    expect(told.map(({ message }) => message)).toEqual([
      expect.stringContaining(
        'settled by the codes that other documents list: U0C55-87 (page 1, first read as U0G55-87)',
      ),
    ])
  })

  test('is not guessed from two that other documents list', () => {
    const known = ['U0C55', 'U0655'].map((code) => ({ code, failureType: '87' }))
    expect(inTable('U0G55-87', known)).toMatchObject({ codes: [], problems: ['unread-code'] })
  })

  test('that looks like one that other documents list is taken for neither, unless they list it too', () => {
    const other = { code: 'C1825', failureType: '54' }
    const { codes, told } = inTable('C1B25-54', [other])
    expect(codes).toEqual([])
    expect(told).toEqual([
      {
        code: 'unread-code',
        message: '"C1B25-54" on page 1 looks like C1825-54, which other documents list, and was taken for neither',
      },
    ])
    const listed = inTable('C1B25-54', [other, { code: 'C1B25', failureType: null }])
    expect(listed).toMatchObject({ codes: ['C1B25-54'], problems: [] })
    expect(inTable('C1B25-54', [{ code: 'C1925', failureType: '54' }])).toMatchObject({
      codes: ['C1B25-54'],
      problems: [],
    })
  })

  test('that a file itself prints is what it is, whatever others list', () => {
    const known = [{ code: 'C1825', failureType: '54' }]
    expect(scan([], known, typed(table('C1B25-54')))).toMatchObject({ codes: ['C1B25-54'], problems: [] })
  })

  test('that was too doubtful is said to be so, or is the one that another document lists', () => {
    const seen = (known: readonly TroubleCode[], confidence: number) =>
      scan([], known, pictured(table('[C1B25-54]'), confidence))
    const known = [{ code: 'C1825', failureType: '54' }]
    expect(seen([], 50)).toMatchObject({ codes: [], problems: ['unread-code'] })
    expect(seen(known, 50)).toMatchObject({ codes: ['C1825-54'], problems: ['look-alikes-chosen'] })
    expect(seen([{ code: 'C1825', failureType: '55' }], 50)).toMatchObject({ codes: [], problems: ['unread-code'] })
    // Below that, it is a guess.
    expect(seen(known, 30)).toMatchObject({ codes: [], problems: ['unread-code'] })
  })

  test('has a failure type that was too doubtful only if another document lists it', () => {
    expect(inTable('B1325 [S4]')).toMatchObject({ codes: ['B1325'], problems: ['unread-code'] })
    expect(inTable('B1325 [S4]', [{ code: 'B1325', failureType: '54' }])).toMatchObject({
      codes: ['B1325-54'],
      problems: ['look-alikes-chosen'],
    })
  })
})

describe('a code outside tables', () => {
  test('is told by its structure on a line that speaks of codes', () => {
    expect(scan(['Front camera', '   UO155-87  Missing message  Active'])).toMatchObject({
      codes: ['U0155-87'],
      problems: ['look-alikes-chosen'],
    })
  })

  test.each(['Order PO123 current', 'Purchase PO12345 stored', 'Front camera part BOB39 fitted', 'COOLS active'])(
    '"%s" holds none',
    (line) => {
      expect(scan([line]).codes).toEqual([])
    },
  )
})

test('letters that a file itself prints for digits are no choice of a reader', () => {
  const page = typed(table('UO131-87'))
  expect(scan([], [], page)).toMatchObject({
    codes: [],
    unreadCodes: [{ text: 'UO131-87', fault: 'look-alike', likely: 'U0131-87' }],
    problems: ['unread-code'],
  })
})
