import { degrees, PDFDocument, StandardFonts } from '@cantoo/pdf-lib'
import pdfkit from 'pdfkit'
import { describe, expect, it } from 'vitest'
import { readPdfDate } from '../../src/facts/pdf-date.ts'
import { readPdf } from '../../src/reading/pdf.ts'
import { line, stream, writePages } from './pdf-by-hand.ts'

const hint = { path: 'test.pdf', media: 'application/pdf' }
const textsOf = async (bytes: Uint8Array, page = 0) =>
  (await readPdf(bytes, hint)).pages[page]?.words.map((word) => word.text) ?? []
const codesOf = async (bytes: Uint8Array) => (await readPdf(bytes, hint)).problems.map((problem) => problem.code)

function bytesOf(document: PDFKit.PDFDocument): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const parts: Buffer[] = []
    document.on('data', (part: Buffer) => parts.push(part))
    document.on('end', () => resolve(Buffer.concat(parts)))
    document.on('error', reject)
    document.end()
  })
}

describe('form fields and notes', () => {
  it('reads fields as their appearance shows them, once', async () => {
    const document = await PDFDocument.create()
    const page = document.addPage([612, 792])
    const field = document.getForm().createTextField('vin')
    field.setText('LE9NX41K7RD204417')
    field.addToPage(page, { x: 100, y: 600, width: 200, height: 20 })
    const list = document.getForm().createDropdown('method')
    list.setOptions(['static', 'dynamic'])
    list.select('dynamic')
    list.addToPage(page, { x: 100, y: 500, width: 100, height: 20 })
    const { pages } = await readPdf(await document.save(), hint)
    expect(pages[0]?.words.map((word) => word.text)).toEqual(['LE9NX41K7RD204417', 'dynamic'])
    const [x0, y0, x1, y1] = pages[0]?.words[0]?.box ?? [0, 0, 0, 0]
    expect(x0).toBeGreaterThanOrEqual(99)
    expect(x1).toBeLessThan(301)
    expect(y0).toBeGreaterThan(792 - 621)
    expect(y1).toBeLessThan(792 - 599)
  })

  it('sets a value without an appearance into its rectangle, on a turned page too', async () => {
    const fields = [
      `<< /Type /Annot /Subtype /Widget /FT /Tx /T (odo) /V (48211 mi) /Rect [100 600 300 620] /DA (/F1 10 Tf) /P 5 0 R >>`,
      `<< /Type /Annot /Subtype /FreeText /Contents (cleared before\\nrelease) /Rect [100 400 300 460] /DA (/F1 9 Tf) >>`,
      `<< /Type /Annot /Subtype /Widget /FT /Tx /Ff 8192 /T (pin) /V (secret) /Rect [100 300 300 320] /DA (/F1 10 Tf) >>`,
    ]
    const write = (entries: string) =>
      writePages([{ content: line('Odometer', 20, 604), entries: `/Annots [7 0 R 8 0 R 9 0 R] ${entries}` }], fields)
    const { pages } = await readPdf(write(''), hint)
    const words = pages[0]?.words ?? []
    const named = (text: string) => words.find((word) => word.text === text)?.box ?? [0, 0, 0, 0]
    const texts = ['48211', 'Odometer', 'before', 'cleared', 'mi', 'release']
    expect(words.map((word) => word.text).toSorted()).toEqual(texts)
    expect(named('48211')[0]).toBe(100)
    expect(named('48211')[1]).toBeGreaterThanOrEqual(172)
    expect(named('mi')[0]).toBeGreaterThan(named('48211')[2])
    expect(named('mi')[3]).toBeLessThanOrEqual(192)
    expect(named('release')[1]).toBeGreaterThan(named('before')[1])
    const turned = (await readPdf(write('/Rotate 180'), hint)).pages[0]?.words ?? []
    expect(turned.map((word) => word.text).toSorted()).toEqual(texts)
  })
})

describe('producers', () => {
  it('reads what pdfkit writes: kerned text, wrapped paragraphs, columns', async () => {
    const document = new pdfkit({ size: 'A4', info: { Title: 'Alignment', Producer: 'Bay printer 2' } })
    document.font('Helvetica-Bold').fontSize(18).text('Wheel alignment AVAYA', { characterSpacing: 0.5 })
    document
      .font('Times-Roman')
      .fontSize(11)
      .text('Thrust angle 0.02 deg. Tyre type: 235/60 R18. '.repeat(6), { columns: 2, columnGap: 20 })
    const { pages, information } = await readPdf(await bytesOf(document), hint)
    const texts = pages[0]?.words.map((word) => word.text) ?? []
    expect(texts.slice(0, 3)).toEqual(['Wheel', 'alignment', 'AVAYA'])
    expect(texts.slice(3, 11)).toEqual(['Thrust', 'angle', '0.02', 'deg.', 'Tyre', 'type:', '235/60', 'R18.'])
    expect(texts).toHaveLength(3 + 6 * 8)
    expect(pages[0]?.words[0]).toMatchObject({ bold: true, size: 18, font: 'Helvetica-Bold' })
    expect(information).toMatchObject({ title: 'Alignment', producer: 'Bay printer 2' })
  })

  it('reads what pdf-lib writes on a turned page', async () => {
    const document = await PDFDocument.create()
    const page = document.addPage([612, 792])
    page.setRotation(degrees(90))
    const font = await document.embedFont(StandardFonts.CourierBold)
    page.drawText('C1A67-54 confirmed', { x: 300, y: 100, size: 10, font, rotate: degrees(90) })
    const reading = await readPdf(await document.save(), hint)
    expect(reading.pages[0]).toMatchObject({ width: 792, height: 612 })
    // Courier is 0.6 em wide (Adobe font metrics).
    const [first, second] = reading.pages[0]?.words ?? []
    expect([first?.text, second?.text]).toEqual(['C1A67-54', 'confirmed'])
    expect(first?.box[0]).toBeCloseTo(100, 1)
    expect(first?.box[2]).toBeCloseTo(148, 1)
    expect(second?.box[0]).toBeCloseTo(154, 1)
  })

  it('reads Chinese in a font that the file does not hold', async () => {
    const bytes = writePages(
      [{ content: 'BT /F3 12 Tf 72 700 Td <96F78FBE> Tj ET', resources: '/Font << /F3 7 0 R >>' }],
      [
        '<< /Type /Font /Subtype /Type0 /BaseFont /STSong-Light /Encoding /UniGB-UCS2-H /DescendantFonts [8 0 R] >>',
        `<< /Type /Font /Subtype /CIDFontType0 /BaseFont /STSong-Light /DW 1000
          /CIDSystemInfo << /Registry (Adobe) /Ordering (GB1) /Supplement 4 >> >>`,
      ],
    )
    const word = (await readPdf(bytes, hint)).pages[0]?.words[0]
    expect(word?.text).toBe('雷达')
    expect((word?.box[2] ?? 0) - (word?.box[0] ?? 0)).toBeCloseTo(24, 1)
  })

  it('reads a font drawn by the file itself (Type 3)', async () => {
    const bytes = writePages(
      [{ content: 'BT /F3 10 Tf 72 700 Td (AB BA) Tj ET', resources: '/Font << /F3 7 0 R >>' }],
      [
        `<< /Type /Font /Subtype /Type3 /FontBBox [0 0 500 700] /FontMatrix [0.001 0 0 0.001 0 0]
          /CharProcs << /A 8 0 R /B 8 0 R /space 9 0 R >> /FirstChar 32 /LastChar 66 /Resources << >>
          /Encoding << /Type /Encoding /Differences [32 /space 65 /A /B] >>
          /Widths [500 ${'0 '.repeat(32)} 500 600] >>`,
        stream('500 0 d0 0 0 400 700 re f'),
        stream('500 0 d0'),
      ],
    )
    const words = (await readPdf(bytes, hint)).pages[0]?.words ?? []
    expect(words.map((word) => word.text)).toEqual(['AB', 'BA'])
    expect(words[1]?.box[0]).toBeCloseTo(72 + 16, 1)
    expect(words[1]?.box[2]).toBeCloseTo(72 + 27, 1)
  })

  it('doubts text of a font that does not say which letters it draws', async () => {
    const font = (encoding: string) => [
      `<< /Type /Font /Subtype /Type0 /BaseFont /ABCDEF+Odd /Encoding /Identity-H /DescendantFonts [8 0 R] ${encoding} >>`,
      `<< /Type /Font /Subtype /CIDFontType2 /BaseFont /ABCDEF+Odd /DW 600 /FontDescriptor 9 0 R
        /CIDSystemInfo << /Registry (Adobe) /Ordering (Identity) /Supplement 0 >> >>`,
      `<< /Type /FontDescriptor /FontName /ABCDEF+Odd /Flags 4 /FontBBox [0 0 1000 1000] /ItalicAngle 0
        /Ascent 800 /Descent -200 /CapHeight 700 /StemV 80 >>`,
      stream(`/CIDInit /ProcSet findresource begin begincmap 1 begincodespacerange <0000> <FFFF> endcodespacerange
        2 beginbfrange <0003> <0003> <0020> <0024> <003D> <0041> endbfrange endcmap`),
    ]
    // Glyph 3 is the space and 36 the letter A, as fonts made from TrueType files number them.
    const codes = [...'RADAR AIM CHECKED AFTER WINDSHIELD'].map((one) => (one === ' ' ? 3 : one.charCodeAt(0) - 29))
    const shown = codes.map((code) => code.toString(16).padStart(4, '0')).join('')
    const page = { content: `BT /F3 12 Tf 72 700 Td <${shown}> Tj ET`, resources: '/Font << /F3 7 0 R >>' }
    expect(await codesOf(writePages([page], font('')))).toEqual(['unreadable-text'])
    const named = writePages([page], font('/ToUnicode 10 0 R'))
    expect(await codesOf(named)).toEqual([])
    expect(await textsOf(named)).toEqual(['RADAR', 'AIM', 'CHECKED', 'AFTER', 'WINDSHIELD'])
    expect(
      await codesOf(writePages([{ ...page, content: 'BT /F3 12 Tf 72 700 Td <00030003> Tj ET' }], font(''))),
    ).toEqual(['unreadable-text'])
  })

  it('reads words whose font the page does not have', async () => {
    expect(await textsOf(writePages([{ content: 'BT /F9 12 Tf 72 700 Td (Radar aimed) Tj ET' }]))).toEqual([
      'Radar',
      'aimed',
    ])
  })
})

describe('pages without words', () => {
  const scan = stream(
    Buffer.alloc(600 * 800, 0x80),
    '/Type /XObject /Subtype /Image /Width 600 /Height 800 /ColorSpace /DeviceGray /BitsPerComponent 8',
  )
  const drawn = { content: 'q 612 0 0 792 0 0 cm /I1 Do Q' }

  it('says that a scan has no text layer', async () => {
    const bytes = writePages([{ ...drawn, resources: '/XObject << /I1 7 0 R >>' }], [scan])
    const { problems, pages, pageCount } = await readPdf(bytes, hint)
    expect(problems).toEqual([{ code: 'no-text-layer', message: expect.stringContaining('Page 1') }])
    expect(pages[0]?.words).toEqual([])
    expect(pageCount).toBe(1)
  })

  it('names the pages that are pictures among others', async () => {
    const picture = { ...drawn, resources: '/XObject << /I1 13 0 R >>' }
    const bytes = writePages([{ content: line('Cover', 72, 700) }, picture, picture, { content: '' }], [scan])
    const { problems } = await readPdf(bytes, hint)
    expect(problems.map((problem) => [problem.code, problem.message.split(':')[0]])).toEqual([
      ['page-without-text', 'Pages 2-3'],
      ['blank-page', 'Page 4'],
    ])
  })

  it('tells drawings from blank pages', async () => {
    expect(await codesOf(writePages([{ content: '10 10 m 100 100 l S' }]))).toEqual(['no-text-layer'])
    expect(await codesOf(writePages([{ content: '' }, { content: 'q Q' }]))).toEqual(['blank'])
    expect(await codesOf(writePages([{ content: line('   ', 72, 700) }]))).toEqual(['blank'])
  })
})

describe('the document', () => {
  it('reads no more pages and words than it may, and says so', async () => {
    const bytes = writePages(Array.from({ length: 12 }, () => ({ content: line('one two three', 72, 700) })))
    const few = await readPdf(bytes, hint, { pages: 5 })
    expect([few.pages.length, few.pageCount, few.problems.map((p) => p.code)]).toEqual([5, 12, ['too-many-pages']])
    const short = await readPdf(bytes, hint, { words: 10 })
    expect([short.pages.length, short.pageCount, short.problems.map((p) => p.code)]).toEqual([
      4,
      12,
      ['too-many-words'],
    ])
  })

  it('keeps documents read at the same time apart, and the console quiet', async () => {
    const broken = writePages([{ content: '(unfinished' }])
    const fine = writePages([{ content: line('Radar', 72, 700) }])
    const warn = console.warn
    const said: unknown[] = []
    console.warn = (...words: unknown[]) => said.push(words)
    const codes = await Promise.all([broken, fine, broken, fine].map(codesOf)).finally(() => {
      console.warn = warn
    })
    expect(codes).toEqual([['damaged-content'], [], ['damaged-content'], []])
    expect(said).toEqual([])
  })

  it('leaves the bytes it was given as they were', async () => {
    const bytes = writePages([{ content: line('Radar', 72, 700) }])
    const copy = Buffer.from(bytes)
    await readPdf(bytes, hint)
    expect(bytes.equals(copy)).toBe(true)
  })

  it('gives title, author, programs and dates', async () => {
    const entries = `<< /Title (Post\\055repair scan) /Author () /Creator (Bay tool) /Producer (Bay printer 2)
      /CreationDate (D:20261020140740-06'00') /ModDate (D:20261320) >>`
    const bytes = writePages([{ content: line('Scan', 72, 700) }], [entries], '/Info 7 0 R')
    expect((await readPdf(bytes, hint)).information).toEqual({
      title: 'Post-repair scan',
      creator: 'Bay tool',
      producer: 'Bay printer 2',
      created: '2026-10-20T14:07:40-06:00',
    })
  })

  // The first is the example of ISO 32000-1, 7.9.4 (December 23, 1998, at 7:52 PM, U.S. Pacific Standard Time).
  it.each([
    ["D:199812231952-08'00", '1998-12-23T19:52:00-08:00'],
    ["D:20261020140740-06'00'", '2026-10-20T14:07:40-06:00'],
    ['D:20261020140740Z', '2026-10-20T14:07:40Z'],
    ["D:20261020140740Z00'00'", '2026-10-20T14:07:40Z'],
    ['D:20261020140740+02', '2026-10-20T14:07:40+02:00'],
    ['D:20261020140740', '2026-10-20T14:07:40'],
    ['20261020140740', '2026-10-20T14:07:40'],
    ['D:20261020', '2026-10-20'],
    ['D:202610', undefined],
    ['D:20260230', undefined],
    ['D:20261020240000', undefined],
    ['20 October 2026', undefined],
    ['', undefined],
  ])('reads the date %s', (text, date) => {
    expect(readPdfDate(text)).toBe(date)
  })
})
