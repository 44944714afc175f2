/** Values set in letters that do not belong together, in PDFs made by PDFKit; names of fonts as foundries give them. */
import PDFDocument from 'pdfkit'
import { describe, expect, test } from 'vitest'
import { sightOf } from '../../src/facts/sight.ts'
import { familyOf } from '../../src/reading/font-families.ts'
import { readPdf } from '../../src/reading/pdf.ts'

type Part = [font: string, text: string]

/** Parts set one behind the other on a line, the last ones drawn first where `back`. */
async function paper(lines: readonly (readonly Part[])[], back = false): Promise<Uint8Array> {
  const document = new PDFDocument()
  const chunks: Buffer[] = []
  document.on('data', (chunk: Buffer) => chunks.push(chunk))
  const ended = new Promise((resolve) => document.on('end', resolve))
  for (const [row, parts] of lines.entries()) {
    let x = 72
    const placed = parts.map(([font, text]) => {
      const at = x
      x += document.font(font).fontSize(11).widthOfString(text)
      return { font, text, at }
    })
    for (const { font, text, at } of back ? placed.toReversed() : placed)
      document.font(font).text(text, at, 72 + 20 * row, { lineBreak: false })
  }
  document.end()
  await ended
  return Buffer.concat(chunks)
}

async function mixedIn(pdf: Uint8Array) {
  const sight = sightOf(await readPdf(pdf, { path: 'report.pdf', media: 'application/pdf' }))
  return sight?.mixed.map(({ text, families }) => [text, families])
}

const label: Part = ['Helvetica', 'VIN ']

test.each([false, true])(
  'a digit of another family within a value is told, whichever is drawn first (%s)',
  async (back) => {
    const parts: Part[] = [label, ['Helvetica', '1M8GDM9AXKP0427'], ['Times-Roman', '8'], ['Helvetica', '8']]
    expect(await mixedIn(await paper([parts], back))).toEqual([['1M8GDM9AXKP042788', ['helvetica', 'times']]])
  },
)

test.each<[string, Part[]]>([
  ['the end of a VIN in bold', [label, ['Helvetica', '1M8GDM9AX'], ['Helvetica-Bold', 'KP042788']]],
  [
    'a label that stands close to its value',
    [
      ['Helvetica-Bold', 'VIN:'],
      ['Courier', '1M8GDM9AXKP042788'],
    ],
  ],
  ['a whole value in another family', [label, ['Courier-Bold', '1M8GDM9AXKP042788']]],
  [
    'words without digits',
    [
      ['Helvetica', 'Cali'],
      ['Times-Roman', 'brated'],
    ],
  ],
  [
    'a sign that a font lacks',
    [
      ['Helvetica', '0.4'],
      ['Symbol', '°'],
      ['Helvetica', 'C'],
    ],
  ],
])('%s is as papers are made', async (_, parts) => {
  expect(await mixedIn(await paper([parts]))).toEqual([])
})

describe('the family of', () => {
  test.each([
    ['TimesNewRomanPSMT', 'TimesNewRomanPS-BoldItalicMT'],
    ['ArialMT', 'Arial-BoldMT'],
    ['Arial', 'Arial,Bold'],
    ['LiberationSans', 'LiberationSans-Bold'],
    ['Roboto-Medium', 'Roboto-Regular'],
    ['OpenSans', 'OpenSansBold'],
  ])('%s and %s is one', (one, other) => {
    expect(familyOf(one)).toBe(familyOf(other))
    expect(familyOf(one)).not.toBeNull()
  })

  test.each(['', 'F1', 'T1_0', 'CIDFont+F3', 'g_d0_f12', 'TT2', 'C2_1'])('%s tells nothing', (name) => {
    expect(familyOf(name)).toBeNull()
  })
})
