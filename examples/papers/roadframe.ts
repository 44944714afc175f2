/** Calibration record of the invented "Roadframe 4": a form of boxes, one fact a box. pdf-lib. */

import { shop } from '../shop.ts'
import { clockSeconds, isoDay, span } from '../times.ts'
import type { CalibrationRecord } from './records.ts'
import { drawSheet } from './sheet.ts'

export const roadframe = { name: 'Fennick Roadframe 4', serial: 'RF4-3306', software: '4.7.0', data: '2026-05' }

/** Lengths to the millimetre, angles to the hundredth of a degree. */
const digits = (unit: string): number => (unit === 'm' ? 3 : 2)

/** A4, one page. */
export function drawRoadframe(record: CalibrationRecord): Promise<Uint8Array> {
  const { job } = record
  const imprint = {
    title: `Calibration record ${job.number}`,
    creator: 'Roadframe 4',
    producer: 'Roadframe print 4.7',
    made: record.until + 95,
  }
  const limits = record.values
  return drawSheet(imprint, [595, 842], 'Helvetica', (pen) => {
    pen.text('Calibration record', 40, 40, 22, true)
    pen.text(`${record.sensor}, ${record.method}`, 40, 68, 12)
    pen.text(shop.name, 400, 46, 10, true)
    pen.text(shop.street, 400, 60, 8, false, 0.4)
    const cells: [string, string][] = [
      ['VIN', record.vin],
      ['Vehicle', `${job.vehicle.year} ${job.vehicle.make} ${job.vehicle.model}`],
      ['Repair order', job.number],
      ['Plate', job.vehicle.plate],
      ['Odometer', `${record.miles} mi`],
      ['Battery voltage', `${record.volts.toFixed(1)} V`],
      ['Sensor', record.sensor],
      ['Method', record.method],
      ['Started', `${isoDay(record.from)} ${clockSeconds(record.from)} UTC${shop.offset}`],
      ['Ended', `${isoDay(record.until)} ${clockSeconds(record.until)} UTC${shop.offset}`],
      ['Duration', span(record.until - record.from)],
      ['Result', record.outcome],
      ...(record.progress === undefined ? [] : ([['Progress', `${record.progress} %`]] as [string, string][])),
      ...(record.part ? ([['Part number', record.part]] as [string, string][]) : []),
      ...(record.serial ? ([['Sensor serial number', record.serial]] as [string, string][]) : []),
      ['Procedure', record.procedure],
      ['Technician', record.technician],
      ...(record.observer ? ([['Instrument watched by', record.observer]] as [string, string][]) : []),
      ['Instrument', roadframe.name],
      ['Instrument serial', roadframe.serial],
      ['Software version', roadframe.software],
      ['Calibration data version', roadframe.data],
      ...record.conditions,
    ]
    cells.forEach(([label, value], index) => {
      const [x, y] = [40 + (index % 2) * 260, 100 + Math.floor(index / 2) * 36]
      pen.box(x, y, 256, 32, label === 'Result' || label === 'Progress' ? [0.93, 0.94, 0.97] : null)
      pen.text(label, x + 8, y + 5, 7.5, false, 0.4)
      pen.text(value, x + 8, y + 15, 11, label === 'Result')
    })
    let y = 118 + Math.ceil(cells.length / 2) * 36
    const columns = [40, 250, 320, 390, 460]
    const row = (texts: string[], bold: boolean): void => {
      for (const [index, text] of texts.entries()) pen.text(text, columns[index] ?? 0, y, 9.5, bold)
      pen.line(40, y + 14, 556, y + 14)
      y += 20
    }
    row(['Measured value', 'Value', 'Minimum', 'Maximum', 'Assessment'], true)
    for (const [name, value, least, most, unit] of limits)
      row(
        [
          name,
          `${value.toFixed(digits(unit))} ${unit}`,
          least.toFixed(digits(unit)),
          most.toFixed(digits(unit)),
          value < least || value > most ? 'out' : 'OK',
        ],
        false,
      )
    pen.text('Page 1 of 1', 506, 806, 8, false, 0.4)
    pen.text(
      "The vehicle maker's service information decides what is to be calibrated and how.",
      40,
      806,
      8,
      false,
      0.4,
    )
  })
}
