/** Drive record of the invented "Wayline R7": a landscape sheet, facts to the left, the run to the right. PDFKit. */
import { clockSeconds, namedDay, span } from '../times.ts'
import { drawKit, put, putRight } from './kit.ts'
import type { CalibrationRecord } from './records.ts'

export const wayline = { name: 'Wayline R7', serial: 'WR7-51902', software: '3.0.12', data: 'V26.2' }

/** US letter, landscape. `steps`: seconds since the start, progress shown then. */
export function drawWayline(
  record: CalibrationRecord,
  steps: readonly (readonly [number, number])[],
  miles: number,
): Promise<Uint8Array> {
  const { job } = record
  const imprint = {
    title: `Road calibration ${job.number}`,
    creator: `Wayline R7 ${wayline.software}`,
    made: record.until + 40,
  }
  return drawKit(imprint, [792, 612], (page) => {
    page.rect(0, 0, 792, 8).fill('#8a5a3c')
    put(page, 'Dynamic calibration report', 48, 36, 'Times-Bold', 24)
    putRight(page, wayline.name, 744, 44, 'Times-Roman', 13)
    const facts: [string, string][] = [
      ['VIN', record.vin],
      ['Vehicle', `${job.vehicle.year} ${job.vehicle.make} ${job.vehicle.model}`],
      ['Job number', job.number],
      ['Odometer at end', `${record.miles} mi`],
      ['Sensor', record.sensor],
      ['Method', record.method],
      ['Start', `${namedDay(record.from)} ${clockSeconds(record.from)}`],
      ['End', `${namedDay(record.until)} ${clockSeconds(record.until)}`],
      ['Drive time', span(record.until - record.from)],
      ['Distance', `${miles.toFixed(1)} mi`],
      ['Progress', `${record.progress ?? 0} %`],
      ['Result', record.outcome],
      ...(record.part ? ([['Part number', record.part]] as [string, string][]) : []),
      ...(record.serial ? ([['Sensor serial', record.serial]] as [string, string][]) : []),
      ['Battery', `${record.volts.toFixed(1)} V`],
      ['Procedure', record.procedure],
      ['Technician', record.technician],
      ['Device serial', wayline.serial],
      ['Software', wayline.software],
      ['Calibration data', wayline.data],
    ]
    facts.forEach(([label, value], index) => {
      const y = 92 + index * 23
      put(page, label, 48, y, 'Times-Italic', 11, '#6b5a4e')
      put(page, value, 170, y, label === 'Result' || label === 'Progress' ? 'Times-Bold' : 'Times-Roman', 12)
      page
        .moveTo(48, y + 17)
        .lineTo(430, y + 17)
        .lineWidth(0.3)
        .stroke('#cdbfb4')
    })
    put(page, 'Run', 480, 92, 'Times-Bold', 14)
    put(page, 'Time', 480, 118, 'Times-Italic', 11, '#6b5a4e')
    putRight(page, 'Progress', 610, 118, 'Times-Italic', 11)
    steps.forEach(([after, percent], index) => {
      const y = 138 + index * 20
      put(page, clockSeconds(record.from + after), 480, y, 'Times-Roman', 11)
      putRight(page, `${percent} %`, 610, y, 'Times-Roman', 11)
      page.rect(630, y + 1, 1.1 * percent, 8).fill('#c39a78')
    })
    put(page, 'Page 1 of 1', 694, 580, 'Times-Roman', 9, '#6b5a4e')
  })
}
