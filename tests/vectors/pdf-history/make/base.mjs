// node base.mjs: lib.pdf and form.pdf, by pdf-lib.
import { writeFileSync } from 'node:fs'
import { PDFDocument, StandardFonts } from '@cantoo/pdf-lib'

const rows = [
  ['VIN', '1ZZTE5T11NB000421'],
  ['Date', '2026-09-01 14:05'],
  ['Instrument', 'Corvane M4, serial CM4-20117'],
  ['Technician', 'Ida Marlow'],
  ['Sensor', 'Front radar'],
  ['Method', 'Static'],
  ['Result', 'Failed'],
  ['Horizontal angle', '1.9 deg'],
]
async function make(name, form) {
  const d = await PDFDocument.create({ updateMetadata: false })
  const font = await d.embedFont(StandardFonts.Helvetica)
  const p = d.addPage([420, 300])
  d.setCreator('Corvane M4 3.8')
  d.setProducer('Corvane print')
  d.setCreationDate(new Date('2026-09-01T12:06:00Z'))
  d.setModificationDate(new Date('2026-09-01T12:06:00Z'))
  p.drawText('Calibration report', { x: 30, y: 265, size: 16, font })
  rows.forEach(([a, b], i) => {
    p.drawText(a, { x: 30, y: 235 - 18 * i, size: 10, font })
    p.drawText(b, { x: 160, y: 235 - 18 * i, size: 10, font })
  })
  if (form) {
    const f = d.getForm()
    for (const [n, v, y] of [
      ['remark', '', 70],
      ['checked', 'yes', 45],
    ]) {
      const t = f.createTextField(n)
      t.addToPage(p, { x: 160, y, width: 200, height: 18, font })
      if (v) t.setText(v)
    }
    f.updateFieldAppearances(font)
  }
  writeFileSync(name, await d.save({ useObjectStreams: false, updateFieldAppearances: false }))
}
await make('lib.pdf', false)
await make('form.pdf', true)
