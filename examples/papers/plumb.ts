/** Wheel alignment record of the invented "Corrow Plumb 3": a table of wheels, before and after. pdf-lib, Times. */

import { shop } from '../shop.ts'
import { clock, usDay } from '../times.ts'
import type { Job } from './records.ts'
import { drawSheet } from './sheet.ts'

export interface AlignmentRecord {
  job: Job
  from: number
  until: number
  miles: number
  technician: string
  /** Name, before, after, minimum, maximum; degrees. */
  rows: [string, number, number, number, number][]
}

/** A4, one page. */
export function drawAlignment(record: AlignmentRecord): Promise<Uint8Array> {
  const { job } = record
  const imprint = {
    title: 'Wheel alignment',
    creator: 'Plumb 3',
    producer: 'Corrow Plumb sheet 3.2',
    made: record.until + 60,
  }
  return drawSheet(imprint, [595, 842], 'Times', (pen) => {
    pen.box(36, 36, 523, 60, [0.9, 0.92, 0.95])
    pen.text('Wheel alignment report', 52, 48, 24, true)
    pen.text(shop.name, 52, 76, 11)
    const facts: [string, string][] = [
      ['VIN:', job.vehicle.vin],
      ['Vehicle:', `${job.vehicle.year} ${job.vehicle.make} ${job.vehicle.model}`],
      ['RO number:', job.number],
      ['Odometer:', `${record.miles} mi`],
      ['Date:', usDay(record.from)],
      ['Start time:', clock(record.from)],
      ['End time:', clock(record.until)],
      ['Technician:', record.technician],
      ['Aligner:', 'Corrow Plumb 3'],
      ['Serial number:', 'CP3-10882'],
    ]
    facts.forEach(([label, value], index) => {
      const [x, y] = [52 + (index % 2) * 260, 116 + Math.floor(index / 2) * 20]
      pen.text(label, x, y, 11, true)
      pen.text(value, x + 92, y, 11)
    })
    const columns = [52, 236, 316, 396, 476]
    let y = 244
    const row = (texts: string[], bold: boolean): void => {
      for (const [index, text] of texts.entries()) pen.text(text, columns[index] ?? 0, y, 11, bold)
      pen.line(52, y + 17, 543, y + 17)
      y += 24
    }
    row(['Angle', 'Before', 'After', 'Minimum', 'Maximum'], true)
    for (const [name, ...figures] of record.rows)
      row([name, ...figures.map((figure) => `${figure.toFixed(2)}°`)], false)
    pen.text('Result: all angles within limits after adjustment', 52, y + 16, 12, true)
    pen.text('Tire pressures set cold: front 36 psi, rear 35 psi. Fuel half full, no load.', 52, y + 40, 11)
    pen.text('Page 1 of 1', 500, 800, 9)
  })
}
