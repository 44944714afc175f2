/** Scan report of the invented "Gannet 12": a fixed-width print, as a paper strip (PDFKit), a text file or a table. */
import { clock, clockSeconds, isoDay, namedDay } from '../times.ts'
import { drawKit, put } from './kit.ts'
import type { ScanRecord } from './records.ts'

export const gannet = { name: 'Gannet 12', serial: 'G12-0077163', software: '2026.04' }

function stripLines(scan: ScanRecord): string[] {
  const { job } = scan
  const row = (label: string, value: string): string => `${label.padEnd(18)}: ${value}`
  const codes = scan.modules.flatMap((module) => module.codes ?? [])
  const rule = '-'.repeat(64)
  return [
    `${gannet.name}   ${scan.title.toUpperCase()}`,
    rule,
    row('Date / time', `${namedDay(scan.at)} ${clock(scan.at)}`),
    row('RO', job.number),
    row('VIN', job.vehicle.vin),
    row('Vehicle', `${job.vehicle.year} ${job.vehicle.make} ${job.vehicle.model}`),
    row('Plate', job.vehicle.plate),
    row('Odometer', `${scan.miles} mi`),
    row('Battery', `${scan.volts.toFixed(1)} V`),
    row('Technician', scan.technician),
    row('Serial no.', gannet.serial),
    row('Software', gannet.software),
    rule,
    'CONTROL UNIT                      RESULT',
    rule,
    ...scan.modules.flatMap(({ name, codes: own = [] }) => [
      `${name.padEnd(34)}${own.length > 0 ? `${own.length} ${own.length === 1 ? 'code' : 'codes'}` : 'no codes'}`,
      ...own.map((code) => `    ${code.code}  ${code.status.toUpperCase().padEnd(8)}${code.text}`),
    ]),
    rule,
    row('Control units', String(scan.modules.length)),
    row('Codes total', String(codes.length)),
    'END OF REPORT',
  ]
}

/** The text file that the instrument saves to a stick. */
export const writeGannetText = (scan: ScanRecord): string => `${stripLines(scan).join('\r\n')}\r\n`

/** The same as a narrow strip. */
export function drawGannetScan(scan: ScanRecord): Promise<Uint8Array> {
  const lines = stripLines(scan)
  const imprint = { title: scan.title, creator: `Gannet print ${gannet.software}`, made: scan.at + 25 }
  return drawKit(imprint, [420, 70 + lines.length * 13], (page) => {
    lines.forEach((line, index) => {
      const bold = index === 0 || line.startsWith('CONTROL UNIT')
      put(page, line, 24, 30 + index * 13, bold ? 'Courier-Bold' : 'Courier', 9.5)
    })
  })
}

/** The table that the instrument exports. */
export function writeGannetTable(scan: ScanRecord): string {
  const { job } = scan
  const head: [string, string][] = [
    ['Report', scan.title],
    ['Date', isoDay(scan.at)],
    ['Time', clockSeconds(scan.at)],
    ['RO', job.number],
    ['VIN', job.vehicle.vin],
    ['Vehicle', `${job.vehicle.year} ${job.vehicle.make} ${job.vehicle.model}`],
    ['Odometer', `${scan.miles} mi`],
    ['Battery', `${scan.volts.toFixed(1)} V`],
    ['Technician', scan.technician],
    ['Instrument', gannet.name],
    ['Serial', gannet.serial],
    ['Software', gannet.software],
  ]
  const rows = scan.modules.flatMap(({ name, codes = [] }) =>
    codes.length > 0
      ? codes.map((code) => [name, 'Fault', code.code, code.status, code.text])
      : [[name, 'No fault', '', '', '']],
  )
  const lines = [
    ...head.map((pair) => pair.join(',')),
    '',
    'Module,Result,Code,Status,Description',
    ...rows.map((row) => row.join(',')),
  ]
  return `${lines.join('\r\n')}\r\n`
}
