import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { contradictedBy, sketchOf } from '../../src/reading/letter-shapes.ts'
import { readPdf } from '../../src/reading/pdf.ts'
import { root } from '../source-file.ts'
import { writePatterns } from './letter-pattern-maker.ts'
import { writePages } from './pdf-by-hand.ts'

/** A path list of pdfjs: move 0, line 1, close 4. */
const outline = (...points: readonly (readonly [number, number])[]) =>
  points.flatMap(([x, y], at) => [at === 0 ? 0 : 1, x, y]).concat(4)
const bar = outline([0, 0], [20, 0], [20, 100], [0, 100])
/** A seven of straight strokes. */
const seven = outline([0, 100], [60, 100], [60, 88], [26, 0], [12, 0], [46, 88], [0, 88])

/** `text` in Times, whose ToUnicode map is `map`: lines of `<code> <letter>`. */
async function wordsOf(font: string, text: string, map: string) {
  const cmap = `/CIDInit /ProcSet findresource begin 12 dict begin begincmap /CMapType 2 def 1 begincodespacerange <00> <FF> endcodespacerange ${map.split('\n').length} beginbfchar\n${map}\nendbfchar endcmap end end`
  const extra = [
    `<< /Type /Font /Subtype /Type1 /BaseFont /${font} /Encoding /WinAnsiEncoding /ToUnicode 8 0 R >>`,
    `<< /Length ${cmap.length} >>\nstream\n${cmap}\nendstream`,
  ]
  const resources = '/Unused << >>'
  const bytes = writePages([{ content: `BT /F9 11 Tf 72 700 Td (${text}) Tj ET`, resources }], extra)
  const file = bytes.toString('latin1').replace('/F2 4 0 R >>', '/F9 7 0 R >>')
  const reading = await readPdf(Buffer.from(file, 'latin1'), { path: 'x.pdf', media: 'application/pdf' })
  return { words: reading.pages[0]?.words.map((word) => word.text), unseen: reading.pages[0]?.unseen }
}

describe('letters by their outlines', () => {
  it('are those of the fonts that they were made of', async () => {
    expect(readFileSync(join(root, 'src/reading/letter-patterns.json'), 'utf8')).toBe(await writePatterns())
  }, 60_000)

  it('sketches an outline in its own box', () => {
    const sketch = sketchOf(bar)
    expect(sketch?.aspect).toBeCloseTo(Math.log(20 / 100))
    expect([...(sketch?.cells ?? [])].every((share) => Math.abs(share - 1) < 1e-9)).toBe(true)
    expect(sketchOf([])).toBeNull()
    expect(sketchOf(outline([0, 0], [10, 0], [20, 0]))).toBeNull()
  })

  it.each([
    ['4', seven, '7'],
    ['0', seven, '7'],
    ['7', seven, null],
    // A bar may be anything: fonts draw it for what they lack.
    ['I', bar, null],
    ['9', bar, null],
    // What is like no letter contradicts none.
    ['A', outline([0, 0], [50, 2], [100, 0], [98, 50], [100, 100], [50, 98], [0, 100], [2, 50]), null],
  ])('called %s', (letter, path, drawn) => {
    expect(contradictedBy(letter, path)).toBe(drawn)
  })

  it.each(['Helvetica', 'Times-Roman', 'Courier', 'Helvetica-Bold', 'Times-Italic'])('in %s', async (font) => {
    const { words, unseen } = await wordsOf(font, 'C1A67', '<36> <0039>')
    expect(words).toEqual([])
    expect(unseen).toMatchObject([
      { text: 'C1A97', why: 'other-letters', replaced: { beneath: 'C1A97', above: 'C1A67' } },
    ])
  })

  it.each([
    ['the same letter', '<36> <0036>'],
    ['a look-alike', '<31> <0049>'],
    ['a small letter for a capital', '<43> <0063>'],
  ])('says nothing of %s', async (_, map) => {
    expect((await wordsOf('Helvetica', 'C1A67', map)).unseen).toBeUndefined()
  })
})
