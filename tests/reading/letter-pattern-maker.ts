/**
 * Makes src/reading/letter-patterns.json: `node tests/reading/letter-pattern-maker.ts > src/reading/letter-patterns.json`.
 * Its source are the fonts that stand in for the standard 14 of ISO 32000-1, 9.6.2.2, in pdfjs-dist (Foxit's, under a BSD
 * licence, and Liberation Sans, under the SIL Open Font License).
 */
import { pathToFileURL } from 'node:url'
import { sketchOf, writeSketch } from '../../src/reading/letter-shapes.ts'
import { openDocument, withPdfjs } from '../../src/reading/pdf-library.ts'
import { stream, writeObjects } from './pdf-by-hand.ts'

const families = ['Helvetica', 'Times', 'Courier'] as const
const regular = { Helvetica: 'Helvetica', Times: 'Times-Roman', Courier: 'Courier' }
const slant = { Helvetica: 'Oblique', Times: 'Italic', Courier: 'Oblique' }
const fonts = families.flatMap((family) => [
  regular[family],
  `${family}-Bold`,
  `${family}-${slant[family]}`,
  `${family}-Bold${slant[family]}`,
])
const letters = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'

interface Shown {
  unicode?: string
  fontChar?: string
}

/** Letter to its sketches, one a font. */
export async function makePatterns(): Promise<Record<string, string[]>> {
  const entries = fonts.map(
    (name, at) => `/T${at} << /Type /Font /Subtype /Type1 /BaseFont /${name} /Encoding /WinAnsiEncoding >>`,
  )
  const content = fonts.map((_, at) => `BT /T${at} 10 Tf 10 ${700 - 12 * at} Td (${letters}) Tj ET`).join('\n')
  const bytes = writeObjects([
    '<< /Type /Catalog /Pages 2 0 R >>',
    '<< /Type /Pages /Kids [3 0 R] /Count 1 >>',
    `<< /Type /Page /Parent 2 0 R /MediaBox [0 0 612 792] /Contents 4 0 R /Resources << /Font << ${entries.join(' ')} >> >> >>`,
    stream(content),
  ])
  return withPdfjs(async (pdfjs) => {
    const page = await (await openDocument(pdfjs, bytes).promise).getPage(1)
    const { fnArray, argsArray } = await page.getOperatorList()
    const patterns: Record<string, string[]> = Object.fromEntries([...letters].map((letter) => [`${letter}`, []]))
    let font = ''
    for (const [at, fn] of fnArray.entries()) {
      const [first] = argsArray[at] ?? []
      if (fn === pdfjs.OPS.setFont) font = String(first)
      if (fn !== pdfjs.OPS.showText) continue
      for (const { unicode = '', fontChar } of first as Shown[]) {
        const outline = page.commonObjs.get(`${font}_path_${fontChar}`) as { path: ArrayLike<number> }
        const sketch = sketchOf(outline.path)
        if (sketch) patterns[unicode]?.push(writeSketch(sketch))
      }
    }
    return patterns
  })
}

/** The file, as it is committed. */
export const writePatterns = async (): Promise<string> => `${JSON.stringify(await makePatterns(), null, 2)}\n`

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) process.stdout.write(await writePatterns())
