/** What of a page's text is seen: ISO 32000-1, 8.4 (graphics state), 8.5 (paths), 8.11 (layers), 9.3.6 (rendering modes), 11 (opacity). */
import { describe, expect, it } from 'vitest'
import { readPdf } from '../../src/reading/pdf.ts'
import { type HandPage, line, stream, writePages } from './pdf-by-hand.ts'

const vin = 'LE9NX41K7RD204417'
const text = line(vin, 72, 700)
const black = '0 g '
const white = '1 g '
/** Round the line of `text`, which stands from 72 to 172. */
const area = '60 690 130 30 re f '

async function readOne(page: HandPage, extra: readonly (string | Buffer)[] = []) {
  const reading = await readPdf(writePages([page], extra), { path: 'test.pdf', media: 'application/pdf' })
  const { words = [], unseen = [] } = reading.pages[0] ?? {}
  return {
    words: words.map((word) => (word.layer ? `${word.text} (layer)` : word.text)),
    unseen: unseen.map(({ text, why }) => `${text} ${why}`),
    replaced: unseen.flatMap(({ replaced }) => (replaced ? [`${replaced.beneath} -> ${replaced.above}`] : [])),
    codes: reading.problems.map(({ code }) => code),
  }
}

const graphics = (entries: string) => `/ExtGState << /G << ${entries} >> >>`

describe('text that nobody sees', () => {
  it.each<[string, HandPage, string]>([
    ['drawn in rendering mode 3', { content: `BT 3 Tr ET ${text}` }, 'invisible'],
    ['drawn as a clip for nothing (mode 7)', { content: `q BT 7 Tr ET ${text} Q` }, 'invisible'],
    ['white on the page', { content: white + text }, 'same-colour'],
    ['a white that nobody tells from white', { content: `0.99 0.99 1 rg ${text}` }, 'same-colour'],
    ['grey on its own grey', { content: `0.5 g ${area}${text}` }, 'same-colour'],
    ['white in strokes and area (mode 2)', { content: `1 g 1 G BT 2 Tr ET ${text}` }, 'same-colour'],
    ['without opacity', { content: `/G gs ${text}`, resources: graphics('/ca 0') }, 'transparent'],
    [
      'in a group without opacity',
      { content: `/G gs /X Do`, resources: `${graphics('/ca 0')} /XObject << /X 7 0 R >>` },
      'transparent',
    ],
    ['under a black bar', { content: `${text}${black}${area}` }, 'covered'],
    ['under a white box', { content: `${text}${white}${area}` }, 'covered'],
    [
      'under a box with round corners',
      { content: `${text}1 g 60 690 m 190 690 l 200 690 200 715 190 715 c 60 715 l h f` },
      'covered',
    ],
    ['under a wide line', { content: `${text}1 G 16 w 60 704 m 190 704 l S` }, 'covered'],
    ['outside of its clip', { content: `q 300 300 50 50 re W n ${text} Q` }, 'clipped'],
    ['outside of the clip of its form', { content: '/X Do', resources: '/XObject << /X 8 0 R >>' }, 'clipped'],
    ['beside the crop box', { content: text, entries: '/CropBox [300 300 500 500]' }, 'off-page'],
    ['smaller than anybody reads', { content: line(vin, 72, 700, 1) }, 'tiny'],
    ['scaled down by its matrix', { content: `q 0.1 0 0 0.1 72 700 cm ${line(vin, 0, 0)} Q` }, 'tiny'],
    [
      'on a layer that is off',
      { content: `/OC /L BDC ${text} EMC`, resources: '/Properties << /L 9 0 R >>' },
      'switched-off',
    ],
  ])('%s', async (_, page, why) => {
    const form = (entries: string) =>
      stream(text, `/Type /XObject /Subtype /Form ${entries} /Resources << /Font << /F1 3 0 R >> >>`)
    const extra = [
      form('/BBox [0 0 612 792] /Group << /S /Transparency >>'),
      form('/BBox [0 0 50 50]'),
      '<< /Type /OCG /Name (notes) >>',
    ]
    const layers = page.content.toString().includes('/OC')
    const file = writePages([page], extra).toString('latin1')
    const bytes = layers
      ? file.replace('/Pages 2 0 R >>', '/Pages 2 0 R /OCProperties << /OCGs [9 0 R] /D << /OFF [9 0 R] >> >> >>')
      : file
    const reading = await readPdf(Buffer.from(bytes, 'latin1'), { path: 'test.pdf', media: 'application/pdf' })
    expect(reading.pages[0]?.words).toEqual([])
    expect(reading.pages[0]?.unseen).toMatchObject([{ text: vin, why }])
    expect(reading.pages[0]?.unseen).toHaveLength(1)
  })
})

describe('text that is seen', () => {
  it.each<[string, string, string?]>([
    ['white on a dark head', `${black}${area}${white}${text}`],
    [
      'white on a gradient, whose colours are not known',
      `/Pattern cs /P scn ${area}${white}${text}`,
      '/Pattern << /P 7 0 R >>',
    ],
    ['black on a stripe', `0.9 g ${area}${black}${text}`],
    ['drawn again above a stripe that came later', `${text}0.9 g ${area}${black}${text}`],
    ['beneath a marker', `${text}/G gs 1 1 0 rg ${area}`, graphics('/ca 0.4')],
    ['beneath a marker that multiplies', `${text}/G gs 1 1 0 rg ${area}`, graphics('/BM /Multiply')],
    ['beneath a frame', `${text}0 G 60 690 130 30 re S`],
    ['struck through', `${text}0 G 1 w 60 704 m 190 704 l S`],
    ['under a box that is cut off by its own clip', `${text}q 300 300 10 10 re W n ${white}${area} Q`],
    ['above a box that a ring leaves open', `${text}${white}60 690 130 30 re 62 692 126 26 re f*`],
    ['faint, as a watermark is', `/G gs ${text}`, graphics('/ca 0.1')],
    ['pale grey', `0.85 g ${text}`],
    ['in strokes alone (mode 1)', `1 g 0 G BT 1 Tr ET ${text}`],
    ['letters filled by what is drawn through them (mode 7)', `q BT 7 Tr ET ${text} 0 0 1 rg ${area} Q`],
    ['cut off at the end of its cell', `q 60 690 40 30 re W n ${text} Q`],
  ])('%s', async (_, content, resources = '') => {
    const pattern =
      '<< /PatternType 2 /Shading << /ShadingType 2 /ColorSpace /DeviceGray /Coords [0 0 1 0] /Function << /FunctionType 2 /Domain [0 1] /N 1 /C0 [0] /C1 [0.3] >> /Extend [true true] >> >>'
    expect(await readOne({ content, resources }, [pattern])).toMatchObject({ words: [vin], unseen: [] })
  })

  it('on a layer that shows on the screen or in print alone', async () => {
    const page = { content: `/OC /L BDC ${text} EMC`, resources: '/Properties << /L 7 0 R >>' }
    const layer = '<< /Type /OCG /Name (print) /Usage << /Print << /PrintState /ON >> /View << /ViewState /OFF >> >> >>'
    const off =
      '/OCProperties << /OCGs [7 0 R] /D << /AS [<< /Event /Print /Category [/Print] /OCGs [7 0 R] >> << /Event /View /Category [/View] /OCGs [7 0 R] >>] >> >>'
    const bytes = writePages([page], [layer]).toString('latin1').replace('/Pages 2 0 R >>', `/Pages 2 0 R ${off} >>`)
    const reading = await readPdf(Buffer.from(bytes, 'latin1'), { path: 'test.pdf', media: 'application/pdf' })
    expect(reading.pages[0]?.words.map((word) => word.text)).toEqual([vin])
  })

  it('drops shadows and says nothing of them', async () => {
    const page = {
      content: `0.8 g ${line('WHEELS', 72.7, 699.3, 20)}${white}${line('WHEELS', 72.4, 699.7, 20)}${black}${line('WHEELS', 72, 700, 20)}`,
    }
    expect(await readOne(page)).toMatchObject({ words: ['WHEELS'], unseen: [] })
  })
})

it('tells a word apart where its ground ends', async () => {
  const content = `0.2 g 60 690 61 30 re f ${white}${text}`
  expect(await readOne({ content })).toMatchObject({ words: ['LE9NX41K'], unseen: ['7RD204417 same-colour'] })
})

describe('words in the place of others', () => {
  it.each([
    [
      'a whole value',
      `${text}${white}60 690 130 30 re f ${black}${line('LE9NX41K7RD299999', 72, 700)}`,
      'LE9NX41K7RD299999',
    ],
    // Helvetica sets this number 102.83 points wide in size 10, and its last two digits 11.12.
    [
      'its last two digits',
      `${text}${white}163.7 697 11.2 12 re f ${black}${line('99', 163.71, 700)}`,
      'LE9NX41K7RD204499',
    ],
    ['a value made white', `${white}${text}${black}${line('LE9NX41K7RD299999', 72, 700)}`, 'LE9NX41K7RD299999'],
  ])('%s', async (_, content, above) => {
    const { words, replaced } = await readOne({ content })
    expect(words).toEqual([above])
    expect(replaced).toEqual([`${vin} -> ${above}`])
  })

  it('tells nothing of what stands elsewhere', async () => {
    const { unseen, replaced } = await readOne({ content: `${text}${white}${area}${black}${line('other', 300, 700)}` })
    expect([unseen, replaced]).toEqual([[`${vin} covered`], []])
  })
})

describe('text of a picture', () => {
  const picture = stream(
    '\x80',
    '/Type /XObject /Subtype /Image /Width 800 /Height 1000 /ColorSpace /DeviceGray /BitsPerComponent 8',
  )
  const resources = '/XObject << /I 7 0 R >>'
  const invisible = `BT 3 Tr ET ${text}`

  it.each([
    ['invisible, after the picture', `q 612 0 0 792 0 0 cm /I Do Q ${invisible}`],
    ['invisible, before the picture', `${invisible} q 612 0 0 792 0 0 cm /I Do Q`],
    ['invisible, on a picture that fills part of the page', `q 300 0 0 100 50 650 cm /I Do Q ${invisible}`],
    ['visible, under the picture of a page', `${text} q 612 0 0 792 0 0 cm /I Do Q`],
    ['the picture placed in two steps', `q 1 0 0 1 10 10 cm q 590 0 0 770 0 0 cm /I Do Q Q ${invisible}`],
  ])('%s', async (_, content) => {
    expect(await readOne({ content, resources }, [picture])).toMatchObject({ words: [`${vin} (layer)`], unseen: [] })
  })

  it('is not what stands beside the picture', async () => {
    const content = `q 100 0 0 100 300 300 cm /I Do Q ${invisible}`
    expect(await readOne({ content, resources }, [picture])).toMatchObject({ words: [], unseen: [`${vin} invisible`] })
  })

  it('leaves words under a small picture as they are: it may be a stamp that one sees through', async () => {
    const content = `${text} q 120 0 0 30 60 690 cm /I Do Q`
    expect(await readOne({ content, resources }, [picture])).toMatchObject({ words: [vin], unseen: [] })
  })
})
