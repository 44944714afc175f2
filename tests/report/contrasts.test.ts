/** Two readings side by side, in every form of the report, and the pages of both. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import type { Contrast } from '../../src/checks/check.ts'
import { choosePictures, isDrawing } from '../../src/findings/pictures.ts'
import { drawFile } from '../../src/reading/draw.ts'
import { renderCsv } from '../../src/report/csv.ts'
import { renderHtml } from '../../src/report/html.ts'
import { renderText } from '../../src/report/text.ts'
import { root } from '../source-file.ts'
import { makeFinding, makeFullReport } from './invented.ts'

const contrast: Contrast = {
  what: 'radar.pdf, page 2',
  one: {
    label: 'as first saved',
    file: 'radar.pdf',
    page: 2,
    box: [20, 30, 90, 42],
    text: 'Result <failed>',
    end: 4000,
  },
  other: { label: 'as it is', file: 'radar.pdf', page: 2, box: [20, 30, 95, 42], text: '' },
}
const [example] = makeFullReport().documents
const report = makeFullReport({
  documents: [{ ...(example as NonNullable<typeof example>), file: 'radar.pdf', media: 'application/pdf' }],
  findings: [
    makeFinding({
      evidence: [{ file: 'radar.pdf', page: 2, box: [20, 30, 95, 42], text: 'Result' }],
      contrasts: [contrast, { ...contrast, one: { ...contrast.one, box: [20, 60, 90, 72], text: 'Angle 1.9' } }],
    }),
  ],
})

test('text, CSV and HTML show both, and say where nothing stands', () => {
  const text = renderText(report, { width: 100, color: false })
  expect(text).toContain('as first saved: “Result <failed>”')
  expect(text).toContain('as it is: nothing there')
  const [row] = parse(renderCsv(report), { bom: true, columns: true }) as Record<string, string>[]
  expect(row?.readings).toMatch(/^radar\.pdf, page 2: “Result <failed>” as first saved, nothing there as it is \| /)
  const html = renderHtml(report)
  expect(html).toContain('“Result &lt;failed&gt;”')
  expect(html.match(/class="beside"/g)).toHaveLength(2)
})

test('both pages are wished for once, with all places that differ, and the page as it is not a third time', () => {
  const { wishes, left } = choosePictures(report)
  expect(left).toBe(0)
  expect(wishes.map(({ end, beside, marks }) => [end, beside?.label, marks.length])).toEqual([
    [4000, 'as first saved', 2],
    [undefined, 'as it is', 1],
  ])
})

test('an earlier state of a file is drawn from its own part of the bytes', async () => {
  const bytes = readFileSync(join(root, 'tests/vectors/pdf-history/altered/lib-words-update.pdf'))
  const first = readFileSync(join(root, 'tests/vectors/pdf-history/unaltered/lib-plain.pdf'))
  const hint = { path: 'a.pdf', media: 'application/pdf' }
  const [was, is] = await drawFile(bytes, hint, [
    { page: 1, marks: [], end: first.length + 1 },
    { page: 1, marks: [] },
  ])
  const [alone] = await drawFile(first, hint, [{ page: 1, marks: [] }])
  if (!was || !is || !alone || !isDrawing(was) || !isDrawing(is) || !isDrawing(alone)) throw new Error('not drawn')
  expect(Buffer.compare(was.jpeg, alone.jpeg)).toBe(0)
  expect(Buffer.compare(was.jpeg, is.jpeg)).not.toBe(0)
})
