/** Scan report of the invented "Osterby Lantern S2": a side rail with the vehicle, modules in a ruled table. PDFKit. */

import { shop } from '../shop.ts'
import { halfDay, thousands, usDay } from '../times.ts'
import { drawKit, put } from './kit.ts'
import type { ScanRecord } from './records.ts'

export const lantern = { name: 'Osterby Lantern S2', serial: 'OLS2-20418', software: '8.3.1' }

/** US letter, one page. */
export function drawLanternScan(scan: ScanRecord): Promise<Uint8Array> {
  const { job } = scan
  const { vehicle } = job
  const imprint = {
    title: `${scan.title} ${job.number}`,
    creator: `Lantern S2 ${lantern.software}`,
    made: scan.at + 70,
  }
  return drawKit(imprint, [612, 792], (page) => {
    page.rect(0, 0, 176, 792).fill('#eef1ec')
    page.rect(176, 0, 3, 792).fill('#5d7a66')
    const rail: [string, string][] = [
      ['VIN', vehicle.vin],
      ['Vehicle', `${vehicle.year} ${vehicle.make} ${vehicle.model}`],
      ['License plate', vehicle.plate],
      ['Odometer', `${thousands(scan.miles)} mi`],
      ['Repair order', job.number],
      ['Claim number', job.claim],
      ['Scan date', usDay(scan.at)],
      ['Scan time', halfDay(scan.at)],
      ['Technician', scan.technician],
      ['Battery voltage', `${scan.volts.toFixed(1)} V`],
      ['Instrument', lantern.name],
      ['Instrument serial', lantern.serial],
      ['Software version', lantern.software],
      ['Instrument check due', '12/31/2026'],
    ]
    rail.forEach(([label, value], index) => {
      const y = 118 + index * 38
      put(page, label, 22, y, 'Helvetica', 7.5, '#5c6660')
      put(page, value, 22, y + 11, 'Helvetica-Bold', 9.5)
    })
    put(page, shop.name, 200, 36, 'Helvetica', 9, '#5c6660')
    put(page, scan.title, 200, 54, 'Helvetica-Bold', 20)
    const faults = scan.modules.flatMap((module) => module.codes ?? [])
    put(page, `Modules read: ${scan.modules.length}`, 200, 84, 'Helvetica', 9.5)
    put(page, `Trouble codes: ${faults.length}`, 320, 84, 'Helvetica', 9.5)
    const columns = [200, 352, 404, 452] as const
    ;(['Module', 'Result', 'Code', 'Status and description'] as const).forEach((head, index) => {
      put(page, head, columns[index] ?? 0, 118, 'Helvetica-Bold', 8.5, '#3f5747')
    })
    let y = 134
    const rule = (): void => {
      page
        .moveTo(200, y - 5)
        .lineTo(590, y - 5)
        .lineWidth(0.4)
        .stroke('#b9c3bb')
    }
    for (const { name, codes = [] } of scan.modules) {
      rule()
      put(page, name, columns[0], y, 'Helvetica', 9)
      put(page, codes.length > 0 ? 'Fault' : 'OK', columns[1], y, codes.length > 0 ? 'Helvetica-Bold' : 'Helvetica', 9)
      for (const code of codes) {
        put(page, code.code, columns[2], y, 'Helvetica', 9)
        put(page, code.status, columns[3], y, 'Helvetica-Bold', 9)
        put(page, code.text, columns[3], y + 11, 'Helvetica', 7)
        y += 24
      }
      if (codes.length === 0) y += 20
    }
    rule()
    put(
      page,
      'Codes are shown as the modules reported them at the time of the scan.',
      200,
      742,
      'Helvetica',
      7.5,
      '#5c6660',
    )
    put(page, 'Page 1 of 1', 548, 742, 'Helvetica', 7.5, '#5c6660')
  })
}
