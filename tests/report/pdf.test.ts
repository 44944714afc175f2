/** The PDF read back by other libraries: pdfjs (text, structure, outline), pdf-lib (fonts), saxes (XMP). */
import { PDFDict, PDFDocument, PDFName, PDFRawStream } from '@cantoo/pdf-lib'
import { createCanvas } from '@napi-rs/canvas'
import { getDocument } from 'pdfjs-dist/legacy/build/pdf.mjs'
import { beforeAll, describe, expect, test, vi } from 'vitest'
import type { Pictures } from '../../src/findings/pictures.ts'
import { readReportFonts } from '../../src/io/shipped.ts'
import { renderPdf } from '../../src/report/pdf.ts'
import { readPage } from './html-page.ts'
import { makeFinding, makeFullReport, makeReport } from './invented.ts'

vi.setConfig({ testTimeout: 120_000, hookTimeout: 120_000 })

const fonts = await readReportFonts()
const jpeg = Uint8Array.from(createCanvas(300, 100).toBuffer('image/jpeg'))
const pictures: Pictures = {
  pictures: [
    {
      file: 'one.pdf',
      page: 2,
      isPhoto: false,
      marks: [[100, 50, 180, 60]],
      words: ['1Q9ZZ'],
      findings: [0],
      drawn: { jpeg, widthPixels: 300, heightPixels: 100, region: [0, 20, 600, 220] },
    },
    {
      file: 'two.pdf',
      page: 1,
      isPhoto: false,
      marks: [[1, 2, 3, 4]],
      words: [],
      findings: [1],
      drawn: { fault: 'it is damaged' },
    },
  ],
  left: 2,
}

interface Node {
  role?: string
  alt?: string
  children?: Node[]
}

async function readBack(bytes: Uint8Array) {
  const document = await getDocument({ data: bytes.slice(), verbosity: 0 }).promise
  const pages: string[] = []
  const roles: string[] = []
  const alternatives: string[] = []
  const walk = ({ role, alt, children = [] }: Node): void => {
    if (role !== undefined) roles.push(role)
    if (alt !== undefined) alternatives.push(alt)
    for (const child of children) walk(child)
  }
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number)
    const { items } = await page.getTextContent()
    pages.push(
      items
        .map((item) => ('str' in item ? item.str : ''))
        .join('')
        .replaceAll(/\s+/g, ' '),
    )
    walk((await page.getStructTree()) as Node)
  }
  const { info, metadata } = await document.getMetadata()
  const outline = await document.getOutline()
  // A map, whatever its type says.
  const marked = ((await document.getMarkInfo()) as unknown as Map<string, boolean> | null)?.get('Marked')
  const xmp = metadata?.getRaw() as string | undefined
  await document.loadingTask.destroy()
  return {
    pages,
    text: pages.join(' '),
    roles,
    alternatives,
    info: info as Record<string, unknown>,
    outline,
    marked,
    xmp,
  }
}

describe('a whole report', () => {
  let bytes: Uint8Array
  let back: Awaited<ReturnType<typeof readBack>>
  beforeAll(async () => {
    bytes = await renderPdf(makeFullReport(), { fonts, pictures })
    back = await readBack(bytes)
  })

  test('says what the report says', () => {
    for (const words of [
      'FAIL',
      'Review of job 12',
      'VIN 1Q9ZZ1A10TB000001',
      'one.pdf shows another VIN than two.pdf.',
      'two.pdf shows a code.',
      'one.pdf, page 2: “1Q9ZZ”',
      'one.pdf says so.',
      '3 minus 1 is 2.',
      'One VIN is assigned to one vehicle.',
      'Before this vehicle leaves',
      'from the shop or the owner; settles scan-clear',
      'shop: 1 fail, 1 warn',
      'Mon 2026-05-18',
      'C1A41-78',
      'No drive is in the packet.',
      'one.pdf, page 2',
      'two.pdf, page 1 cannot be shown: it is damaged.',
      '2 more pictures are left out',
      'two.pdf: Page 2 is damaged.',
      'A person decides.',
    ])
      expect(back.text).toContain(words)
    const joined = back.text.replaceAll(' ', '')
    for (const hash of [`sha256:${'ab'.repeat(32)}`, 'cd'.repeat(32), 'ef'.repeat(32)]) expect(joined).toContain(hash)
  })

  test('is tagged: language, title, headings, lists, tables with heading cells, figures with their words', () => {
    expect(back.marked).toBe(true)
    expect(back.info).toMatchObject({ Language: 'en', Title: 'Review of job 12', Creator: 'witnessmark' })
    const roles = new Set(back.roles)
    for (const role of [
      'Document',
      'Sect',
      'H1',
      'H2',
      'H3',
      'H4',
      'P',
      'L',
      'LI',
      'Lbl',
      'LBody',
      'Table',
      'THead',
      'TBody',
      'TR',
      'TH',
      'TD',
      'Figure',
    ])
      expect(roles).toContain(role)
    expect(back.roles.filter((role) => role === 'H1')).toHaveLength(1)
    expect(back.alternatives).toEqual(['Marked: “1Q9ZZ”'])
  })

  test('has the sections and the findings in its outline', () => {
    const titles = back.outline.map(({ title }) => title)
    expect(titles[0]).toBe('Review of job 12')
    expect(titles).toContain('Order of events')
    const failing = back.outline.find(({ title }) => title === 'What fails (1)')
    expect(failing?.items.map(({ title }) => title)).toEqual(['FAIL 1: one.pdf shows another VIN than two.pdf.'])
  })

  test('has the verdict, the rulebook and the number of the page beneath each page', () => {
    for (const [index, page] of back.pages.entries()) {
      expect(page).toContain(`page ${index + 1} of ${back.pages.length}`)
      expect(page).toContain('FAIL: Review of job 12, as of 2026-06-30')
      expect(page).toContain(`Rulebook general 1.0.0, SHA-256 ${'cd'.repeat(32)}`)
    }
  })

  test('embeds every font that it names', async () => {
    const document = await PDFDocument.load(bytes)
    const dictionaries = document.context
      .enumerateIndirectObjects()
      .flatMap(([, object]) => (object instanceof PDFDict ? [object] : []))
    const typed = (type: string) => dictionaries.filter((one) => one.get(PDFName.of('Type')) === PDFName.of(type))
    const descendants = typed('Font').filter((font) => font.has(PDFName.of('FontDescriptor')))
    const composite = typed('Font').filter((font) => font.has(PDFName.of('DescendantFonts')))
    expect(descendants.length).toBe(2)
    expect(typed('Font').length).toBe(descendants.length + composite.length)
    for (const descriptor of typed('FontDescriptor'))
      expect(document.context.lookup(descriptor.get(PDFName.of('FontFile2')))).toBeInstanceOf(PDFRawStream)
    // Each says which letters its glyphs stand for: ISO 32000-1, 9.10.3.
    for (const font of composite) expect(font.has(PDFName.of('ToUnicode'))).toBe(true)
  })

  test('is the same bytes every time, dated by the day of review', async () => {
    expect(Buffer.compare(await renderPdf(makeFullReport(), { fonts, pictures }), bytes)).toBe(0)
    expect(back.info).toMatchObject({ CreationDate: 'D:20260630000000Z', ModDate: 'D:20260630000000Z' })
  })

  test('says in XMP that it keeps to PDF/UA (ISO 14289-1, 5)', () => {
    const elements = readPage((back.xmp ?? '').replaceAll(/<\?xpacket.*?\?>/g, '').trim())
    expect(elements.find(({ name }) => name === 'pdfuaid:part')?.text).toBe('1')
    expect(elements.find(({ name }) => name === 'rdf:li')?.text).toBe('Review of job 12')
  })
})

describe('words of any script', () => {
  const read = async (reason: string) =>
    (await readBack(await renderPdf(makeReport({ findings: [makeFinding({ reason })] }), { fonts }))).text

  test.each(['Größe über ąęłžőș ×', 'Ωμέγα άλφα', 'Калибровка Їжак', '½ ° ± → – “x” €'])('%s', async (reason) => {
    expect(await read(`It says ${reason} there.`)).toContain(`It says ${reason} there.`)
  })

  test('that the font lacks are written as code points', async () => {
    expect(await read('It says 測 and א and \u202e.')).toContain('It says <U+6E2C> and <U+05D0> and <U+202E>.')
  })
})

describe('what files may hold', () => {
  const evil = '<&>"\')\\ (]]> \u0000\u202e '.repeat(300)

  test('breaks neither the document nor its metadata, and fits its pages', async () => {
    const findings = [makeFinding({ reason: evil, evidence: [{ file: evil, page: 1, text: evil }], remedy: evil })]
    const report = makeFullReport({
      packet: evil,
      findings,
      cautions: [evil.replaceAll(' ', '')],
      vehicle: { vin: evil },
    })
    const back = await readBack(await renderPdf(report, { fonts, pictures }))
    expect(back.pages.length).toBeGreaterThan(5)
    expect(() => readPage((back.xmp ?? '').replaceAll(/<\?xpacket.*?\?>/g, '').trim())).not.toThrow()
  })

  test('may be nothing at all', async () => {
    const empty = makeReport({
      findings: [],
      cautions: [],
      counts: { pass: 0, warn: 0, fail: 0, notChecked: 0 },
      verdict: 'warn',
    })
    expect((await readBack(await renderPdf(empty, { fonts }))).text).toContain('Nothing fails')
  })
})
