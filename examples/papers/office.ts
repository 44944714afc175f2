/** The shop's own estimate and invoice. PDFKit. */

import { people, shop } from '../shop.ts'
import { usDay } from '../times.ts'
import { drawKit, put, putRight } from './kit.ts'
import type { Job } from './records.ts'

export interface OfficePaper {
  job: Job
  kind: 'Estimate' | 'Invoice'
  number: string
  at: number
  miles: number
  lines: [string, number][]
  note?: string
}

const money = (value: number): string => value.toFixed(2).replace(/\B(?=(\d{3})+\.)/g, ',')

/** US letter, one page. */
export function drawOfficePaper(paper: OfficePaper): Promise<Uint8Array> {
  const { job } = paper
  const { vehicle } = job
  const imprint = { title: `${paper.kind} ${paper.number}`, creator: 'Mossgate front office', made: paper.at }
  return drawKit(imprint, [612, 792], (page) => {
    put(page, shop.name, 54, 48, 'Times-Bold', 17)
    put(page, shop.street, 54, 70, 'Times-Roman', 10, '#555555')
    put(page, `${shop.phone}   ${shop.registration}`, 54, 83, 'Times-Roman', 10, '#555555')
    putRight(page, paper.kind, 558, 46, 'Times-Roman', 26)
    page.moveTo(54, 104).lineTo(558, 104).lineWidth(1.4).stroke('#333333')
    const facts: [string, string][] = [
      [`${paper.kind} no.`, paper.number],
      ['Date', usDay(paper.at)],
      ['Repair order', job.number],
      ['Claim no.', job.claim],
      ['Insurer', shop.insurer],
      ['VIN', vehicle.vin],
      ['Vehicle', `${vehicle.year} ${vehicle.make} ${vehicle.model}`],
      ['Color', vehicle.colour],
      ['Plate', vehicle.plate],
      ['Odometer', `${paper.miles} mi`],
    ]
    facts.forEach(([label, value], index) => {
      const [x, y] = [54 + Math.floor(index / 5) * 252, 118 + (index % 5) * 17]
      put(page, `${label}:`, x, y, 'Helvetica', 9, '#555555')
      put(page, value, x + 78, y, 'Helvetica', 10)
    })
    let y = 226
    page.rect(54, y - 5, 504, 19).fill('#e8e4da')
    put(page, 'Line', 62, y, 'Helvetica-Bold', 9.5)
    put(page, 'Description', 98, y, 'Helvetica-Bold', 9.5)
    putRight(page, 'Amount', 550, y, 'Helvetica-Bold', 9.5)
    paper.lines.forEach(([text, amount], index) => {
      y += 22
      put(page, String(index + 1), 62, y, 'Helvetica', 10)
      put(page, text, 98, y, 'Helvetica', 10)
      putRight(page, money(amount), 550, y, 'Helvetica', 10)
    })
    const sum = paper.lines.reduce((total, [, amount]) => total + amount, 0)
    page
      .moveTo(380, y + 20)
      .lineTo(558, y + 20)
      .lineWidth(0.6)
      .stroke('#333333')
    put(page, paper.kind === 'Invoice' ? 'Total due' : 'Total', 400, y + 28, 'Helvetica-Bold', 11)
    putRight(page, `$${money(sum)}`, 550, y + 28, 'Helvetica-Bold', 11)
    put(page, `Prepared by ${people.writer}`, 54, y + 62, 'Times-Italic', 10.5)
    if (paper.note) put(page, paper.note, 54, y + 80, 'Times-Italic', 10.5)
    put(page, 'Page 1 of 1', 508, 752, 'Helvetica', 8, '#555555')
  })
}
