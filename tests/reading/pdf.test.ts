import { PDFDocument, StandardFonts } from '@cantoo/pdf-lib'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Word } from '../../src/facts/reading.ts'
import { readPdf } from '../../src/reading/pdf.ts'
import { type HandPage, line, writePages } from './pdf-by-hand.ts'

const hint = { path: 'test.pdf', media: 'application/pdf' }

async function read(...pages: HandPage[]) {
  const reading = await readPdf(writePages(pages), hint)
  return { reading, words: reading.pages[0]?.words ?? [], texts: (reading.pages[0]?.words ?? []).map((w) => w.text) }
}

const textsOf = async (content: string) => (await read({ content })).texts

/** An outside measure of Helvetica: pdf-lib's copy of the Adobe font metrics. */
async function widthsOfHelvetica() {
  const font = await (await PDFDocument.create()).embedFont(StandardFonts.Helvetica)
  // One character at a time: pdf-lib would kern pairs, a Tj does not.
  return (text: string, size: number) => [...text].reduce((sum, one) => sum + font.widthOfTextAtSize(one, size), 0)
}

describe('boxes', () => {
  it('cuts a run into words where the font metrics put them', async () => {
    const width = await widthsOfHelvetica()
    const text = 'Front radar WAVE illi calibration (static) completed 100 %'
    const { words } = await read({ content: line(text, 72, 700, 11) })
    expect(words.map((word) => word.text)).toEqual(text.split(' '))
    let at = 0
    for (const word of words) {
      expect(word.box[0]).toBeCloseTo(72 + width(text.slice(0, at), 11), 1)
      expect(word.box[2]).toBeCloseTo(72 + width(text.slice(0, at + word.text.length), 11), 1)
      expect(word.size).toBe(11)
      at += word.text.length + 1
    }
  })

  it('spans from above the capitals to below the baseline', async () => {
    const { words } = await read({ content: line('VIN', 72, 700, 10) })
    const [, top, , bottom] = words[0]?.box ?? [0, 0, 0, 0]
    // Baseline at 792 - 700 = 92; capitals of Helvetica are 0.718 em high (Adobe font metrics, CapHeight).
    expect(top).toBeLessThanOrEqual(92 - 7.18)
    expect(top).toBeGreaterThan(92 - 8.5)
    expect(bottom).toBeGreaterThan(92)
    expect(bottom).toBeLessThan(92 + 3)
  })

  it.each([
    [0, 612, 792, '1 0 0 1 100 700 Tm', 100, 92],
    [90, 792, 612, '0 1 -1 0 512 100 Tm', 100, 512],
    [180, 612, 792, '-1 0 0 -1 512 92 Tm', 100, 92],
    [270, 792, 612, '0 -1 1 0 100 692 Tm', 100, 512],
  ])('turns a page by its /Rotate %i', async (rotate, width, height, matrix, x, baseline) => {
    const { reading, words } = await read({
      content: `BT /F1 10 Tf ${matrix} (Radar) Tj ET`,
      entries: `/Rotate ${rotate}`,
    })
    expect(reading.pages[0]).toMatchObject({ width, height, unit: 'pt' })
    const [x0, y0, , y1] = words[0]?.box ?? [0, 0, 0, 0]
    expect(x0).toBeCloseTo(x, 1)
    expect(y0).toBeLessThan(baseline - 7)
    expect(y1).toBeGreaterThan(baseline)
    expect(y1).toBeLessThan(baseline + 3)
    expect(words[0]?.turned).toBeUndefined()
  })

  it('counts from the crop box', async () => {
    const { reading, words } = await read({
      content: line('Radar', 150, 700) + line('Outside', 5, 700),
      entries: '/CropBox [50 60 550 760]',
    })
    expect(reading.pages[0]).toMatchObject({ width: 500, height: 700 })
    expect(words.map((word) => word.text)).toEqual(['Radar'])
    expect(words[0]?.box[0]).toBeCloseTo(100, 1)
    expect(words[0]?.box[3]).toBeGreaterThan(60)
    expect(words[0]?.box[3]).toBeLessThan(63)
  })

  it.each([
    ['0 1 -1 0 300 100 Tm', 100, 300],
    ['0 -1 1 0 300 700 Tm', 92, 312],
    ['-1 0 0 -1 500 300 Tm', 112, 300],
  ])('turns a page whose text runs another way: %s', async (matrix, x, baseline) => {
    const { reading, words } = await read({ content: `BT /F1 10 Tf ${matrix} (Wheel alignment) Tj ET` })
    const page = reading.pages[0]
    expect(words.map((word) => word.text)).toEqual(['Wheel', 'alignment'])
    expect(words[0]?.box[0]).toBeCloseTo(x, 1)
    expect(words[0]?.box[1]).toBeLessThan(baseline - 7)
    expect(words[0]?.box[3]).toBeGreaterThan(baseline)
    expect(words[0]?.turned).toBeUndefined()
    expect([page?.width, page?.height]).toEqual(matrix.startsWith('-1') ? [612, 792] : [792, 612])
  })

  it('puts a stamp in the margin last and marks it', async () => {
    const { words } = await read({
      content: `BT /F1 8 Tf 0 1 -1 0 20 300 Tm (COPY) Tj ET ${line('Post-repair scan report', 72, 700)}`,
    })
    expect(words.map((word) => [word.text, word.turned ?? false])).toEqual([
      ['Post-repair', false],
      ['scan', false],
      ['report', false],
      ['COPY', true],
    ])
    const [x0, y0, x1, y1] = words.at(-1)?.box ?? [0, 0, 0, 0]
    expect(y1).toBeCloseTo(492, 1)
    expect(y1 - y0).toBeGreaterThan(x1 - x0)
  })

  it('follows nested forms, scaling and horizontal scale', async () => {
    const width = await widthsOfHelvetica()
    const form = `<< /Type /XObject /Subtype /Form /BBox [0 0 300 300] /Matrix [2 0 0 2 10 20] /Length 62
      /Resources << /Font << /F1 3 0 R >> >> >>\nstream\n${line('Yaw rate', 5, 7, 9).padEnd(62)}\nendstream`
    const bytes = writePages(
      [
        {
          content: 'q 1 0 0 1 100 100 cm /X1 Do Q BT /F1 10 Tf 50 Tz 72 700 Td (Narrow) Tj ET',
          resources: '/XObject << /X1 7 0 R >>',
        },
      ],
      [form],
    )
    const words = (await readPdf(bytes, hint)).pages[0]?.words ?? []
    expect(words.map((word) => word.text)).toEqual(['Yaw', 'rate', 'Narrow'])
    expect(words[0]?.box[0]).toBeCloseTo(100 + 10 + 2 * 5, 1)
    expect(words[0]?.size).toBeCloseTo(18, 1)
    expect(words[1]?.box[2]).toBeCloseTo(120 + 2 * width('Yaw rate', 9), 1)
    expect((words[2]?.box[2] ?? 0) - (words[2]?.box[0] ?? 0)).toBeCloseTo(width('Narrow', 10) / 2, 1)
  })
})

describe('where words end', () => {
  it('joins a word drawn in pieces, one glyph at a time, or out of order', async () => {
    const width = await widthsOfHelvetica()
    const w = (text: string) => width(text, 10)
    const at = (text: string, x: number) => line(text, x, 700)
    expect(await textsOf(at('Cali', 72) + at('bration', 72 + w('Cali')))).toEqual(['Calibration'])
    expect(await textsOf(at('bration', 72 + w('Cali')) + at('done', 300) + at('Cali', 72))).toEqual([
      'done',
      'Calibration',
    ])
    const text = 'LE9NX41K7RD204417'
    const glyphs = [...text].map((letter, index) => at(letter, 72 + w(text.slice(0, index))))
    expect(await textsOf(glyphs.join(''))).toEqual([text])
  })

  it('goes by gaps, not by space characters', async () => {
    const show = (array: string) => textsOf(`BT /F1 10 Tf 72 700 Td [${array}] TJ ET`)
    expect(await show('(Steering) -278 (angle)')).toEqual(['Steering', 'angle'])
    expect(await show('(W) 60 (A) 80 (V) -40 (E)')).toEqual(['WAVE'])
    // A space that is taken back at once parts nothing.
    expect(await show('(1 ) 278 (,234)')).toEqual(['1,234'])
    expect(
      await textsOf('BT /F1 10 Tf 72 700 Td (skip) Tj 3 Tc 18.34 0 Td (,s) Tj 0 Tc 10.78 0 Td (ilently) Tj ET'),
    ).toEqual(['skip,', 'silently'])
    expect(await textsOf(line('Front', 72, 700) + line(' ', 96, 700) + line('radar', 100, 700))).toEqual([
      'Front',
      'radar',
    ])
  })

  it('keeps columns and lines apart', async () => {
    const content = line('Left', 72, 700) + line('Right', 320, 700) + line('next', 72, 688) + line('under', 320, 688)
    expect(await textsOf(content)).toEqual(['Left', 'Right', 'next', 'under'])
  })

  it.each([
    ['Tc', 'BT /F2 18 Tf 6 Tc 72 700 Td (INVOICE) Tj ET'],
    ['typed spaces', 'BT /F2 18 Tf 72 700 Td (I N V O I C E) Tj ET'],
    ['adjustments', 'BT /F2 18 Tf 72 700 Td [(I) -180 (N) -180 (V) -180 (O) -180 (I) -180 (C) -180 (E)] TJ ET'],
  ])('joins a heading spaced out by %s', async (_, content) => {
    const { words } = await read({ content })
    expect(words.map((word) => word.text)).toEqual(['INVOICE'])
    expect(words[0]?.bold).toBe(true)
  })

  it('joins spaced-out words one by one, and pairs that kerning draws together', async () => {
    expect(await textsOf('BT /F1 12 Tf 72 700 Td (F I N A L   R E P O R T) Tj ET')).toEqual(['FINAL', 'REPORT'])
    expect(await textsOf('BT /F1 12 Tf 72 700 Td [(E)-180(S)-180(T)-180(I)-180(M)-180(A)-70(T)-180(E)] TJ ET')).toEqual(
      ['ESTIMATE'],
    )
  })

  it('joins a number set one character a box or with spaces, not with its label', async () => {
    const vin = 'LE9NX41K7RD204417'
    // Boxes of one pitch, but letters set at the left of each: centres differ by half a letter's width.
    const boxes = [...vin].map((letter, index) => line(letter, 100 + 18 * index, 700))
    expect(await textsOf(line('VIN', 72, 700) + boxes.join(''))).toEqual(['VIN', vin])
    expect(await textsOf(line(`VIN ${[...vin].join(' ')}`, 72, 700))).toEqual(['VIN', vin])
  })

  it('leaves a row of one-letter cells and a row of numbers alone', async () => {
    const cells = ['Y', 'N', 'Y', 'Y', 'N'].map((letter, index) => line(letter, 72 + 60 * index, 700)).join('')
    expect(await textsOf(cells)).toEqual(['Y', 'N', 'Y', 'Y', 'N'])
    expect(await textsOf(line('1 2 3 4 5 6', 72, 700))).toEqual(['1', '2', '3', '4', '5', '6'])
    expect(await textsOf('BT /F1 10 Tf 66 Tc 72 700 Td (04OK) Tj ET')).toEqual(['0', '4', 'O', 'K'])
  })

  it('drops leader dots, ruled blanks and dashes but keeps the words apart', async () => {
    expect(await textsOf(line('VIN..........LE9NX41K7RD204417', 72, 700))).toEqual(['VIN', 'LE9NX41K7RD204417'])
    expect(await textsOf(line('Yaw . . . . . . . 0.12', 72, 700))).toEqual(['Yaw', '0.12'])
    expect(await textsOf(line('Signed ________ Date ------', 72, 700))).toEqual(['Signed', 'Date'])
    expect(await textsOf(line('C1A67-54 -- 12.6V', 72, 700))).toEqual(['C1A67-54', '--', '12.6V'])
  })

  it('writes ligatures out', async () => {
    const bytes = writePages(
      [{ content: 'BT /F3 10 Tf 72 700 Td (con\\001rmed \\002oor) Tj ET', resources: '/Font << /F3 7 0 R >>' }],
      [
        `<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica
          /Encoding << /BaseEncoding /WinAnsiEncoding /Differences [1 /fi /fl] >> >>`,
      ],
    )
    const words = (await readPdf(bytes, hint)).pages[0]?.words ?? []
    expect(words.map((word) => word.text)).toEqual(['confirmed', 'floor'])
  })

  it('reads a word printed twice for boldness once', async () => {
    const { words } = await read({
      content: line('PASSED', 72, 700) + line('PASSED', 72.3, 700) + line('PASSED', 72, 600),
    })
    expect(words.map((word) => [word.text, word.bold ?? false])).toEqual([
      ['PASSED', true],
      ['PASSED', false],
    ])
    const twice = 'BT /F1 10 Tf 72 700 Td (O) Tj 0.3 0 Td (O) Tj 7.48 0 Td (K) Tj 0.3 0 Td (K) Tj ET'
    expect(await textsOf(twice)).toEqual(['OK'])
  })

  it('finds the same words wherever producers cut their runs', async () => {
    const width = await widthsOfHelvetica()
    const text = 'Forward camera aim 0.12 deg within -0.5 to 0.5: accepted'
    const cuts = fc.uniqueArray(fc.integer({ min: 1, max: text.length - 1 }), { maxLength: 12 })
    await fc.assert(
      fc.asyncProperty(
        cuts,
        fc.double({ min: 5, max: 24, noNaN: true }),
        fc.boolean(),
        async (where, size, reverse) => {
          const edges = [0, ...where.toSorted((a, b) => a - b), text.length]
          const runs = edges.slice(1).map((end, index) => {
            const start = edges[index] ?? 0
            return line(text.slice(start, end), 20 + width(text.slice(0, start), size), 700, size)
          })
          const { words } = await read({ content: (reverse ? runs.reverse() : runs).join('') })
          const inOrder = words.toSorted((a: Word, b: Word) => a.box[0] - b.box[0])
          const wide = text.split(' ').filter((_, index, all) => {
            const before = all.slice(0, index).join(' ')
            return 20 + width(before, size) < 560
          })
          expect(inOrder.map((word) => word.text).slice(0, wide.length - 1)).toEqual(wide.slice(0, -1))
        },
      ),
      { numRuns: 40, seed: 20261125 },
    )
  })
})
