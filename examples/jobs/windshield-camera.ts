/**
 * Windshield replaced, the camera learned on the road. Amiss: the last scan was taken before that drive, the drive's
 * record shows a VIN with an S for a 5, and a static calibration is charged that left no record. The same packet, handed
 * in again: the drive's record mended, a scan from after the drive, the charge taken out, a photo under another name.
 */
import { writeGannetText } from '../papers/gannet.ts'
import { drawLanternScan } from '../papers/lantern.ts'
import { drawOfficePaper } from '../papers/office.ts'
import type { Code, Job, ScanRecord } from '../papers/records.ts'
import { drawWayline } from '../papers/wayline.ts'
import { photographOdometer, photographVin } from '../pictures/photos.ts'
import { people, shop, vehicles } from '../shop.ts'
import { at, utc } from '../times.ts'
import { driveRoute, milesOf } from '../tracks/drive.ts'
import { writeNmea } from '../tracks/formats.ts'
import { modulesOf, type PacketFiles } from './packet.ts'

const job: Job = { number: 'RO 26-1207', claim: 'QM-551-21940', vehicle: vehicles.sorrel }
const arrivalMiles = 18840

const drive = driveRoute({
  corners: [
    [0, 0],
    [0, 4828],
    [8047, 4828],
    [8047, 0],
    [0, 0],
  ],
  speeds: [22.4, 24.1, 23.3, 21.7],
  stops: [6, 0, 11, 0],
  seed: 1207,
})
const from = at('2026-07-15T10:04:30')
const until = from + drive.seconds
const driven = milesOf(drive.metres)
const departureMiles = arrivalMiles + 2 + Math.round(driven)

const scan = (title: string, time: string, miles: number, codes: Record<string, Code[]>): ScanRecord => ({
  job,
  title,
  at: at(time),
  miles,
  volts: 13.2,
  technician: people.second,
  modules: modulesOf(['Front Camera', 'Front Radar', 'Rain and Light Sensor']).map((name) => ({
    name,
    ...(codes[name] ? { codes: codes[name] } : {}),
  })),
})

const declaration = `packet: 1
zone: ${shop.zone}
job: ${job.number}
intake: 2026-07-13T08:15
release: 2026-07-15T16:00
repairs:
  - { what: Windshield replaced, ended: 2026-07-14T11:40 }
shop: { name: ${shop.name}, location: [${shop.latitude}, ${shop.longitude}] }
`

const lost: Code[] = [{ code: 'C1B22-54', status: 'Stored', text: 'Calibration data missing' }]
const staticLine: [string, number] = ['Front camera calibration, static, with targets', 295]
const linesBeside: [string, number][] = [
  ['Front camera calibration, dynamic', 225],
  ['Post-repair scan, all modules', 70],
]
const preScanLine: [string, number] = ['Pre-repair scan, all modules', 70]
const windshieldLine: [string, number] = ['Windshield: replace', 684.5]
const lines = [preScanLine, windshieldLine, staticLine, ...linesBeside]

const steps = [0, 11, 24, 38, 51, 67, 82, 94, 100].map((percent, index): [number, number] => [
  Math.round((drive.seconds * index) / 8),
  percent,
])

const drawRecord = (vin: string) =>
  drawWayline(
    {
      job,
      vin,
      sensor: 'Front camera',
      method: 'Dynamic',
      from,
      until,
      miles: departureMiles,
      volts: 14.1,
      technician: people.second,
      outcome: 'Completed',
      progress: 100,
      procedure: 'OSM 88-114, issued 2026-01-20',
      conditions: [],
      values: [],
    },
    steps,
    driven,
  )

const drawInvoice = (charged: [string, number][]) =>
  drawOfficePaper({
    job,
    kind: 'Invoice',
    number: '7102',
    at: at('2026-07-15T15:20'),
    miles: departureMiles,
    lines: charged,
  })

/** Makes the files of the packet. */
export async function windshieldCamera(): Promise<PacketFiles> {
  return {
    'packet.yaml': declaration,
    'scan before.txt': writeGannetText(
      scan('Pre-repair scan', '2026-07-13T08:41', arrivalMiles, { 'Front Camera': lost }),
    ),
    'estimate.pdf': await drawOfficePaper({
      job,
      kind: 'Estimate',
      number: 'E-3417',
      at: at('2026-07-13T09:20'),
      miles: arrivalMiles,
      lines,
    }),
    'scan after.pdf': await drawLanternScan(scan('Post-repair scan', '2026-07-15T09:48', arrivalMiles + 1, {})),
    'camera drive report.pdf': await drawRecord(job.vehicle.vin.replace('518264', 'S18264')),
    'camera drive.nmea': writeNmea(drive, utc(from)),
    'invoice 7102.pdf': await drawInvoice(lines),
    'IMG_4471.jpg': photographVin(job.vehicle.vin, [188, 190, 190], at('2026-07-13T08:22:11'), 4471),
    'IMG_4498.jpg': photographOdometer(String(departureMiles), at('2026-07-15T15:02:44'), 4498),
  }
}

/** Makes the files of the packet as it was handed in again. */
export async function windshieldCameraAgain(): Promise<PacketFiles> {
  const { 'IMG_4471.jpg': vinPhoto, ...first } = await windshieldCamera()
  return {
    ...first,
    'camera drive report.pdf': await drawRecord(job.vehicle.vin),
    'scan final.pdf': await drawLanternScan(scan('Post-repair scan', '2026-07-15T11:26', departureMiles, {})),
    'invoice 7102.pdf': await drawInvoice([preScanLine, windshieldLine, ...linesBeside]),
    ...(vinPhoto === undefined ? {} : { 'vin plate.jpg': vinPhoto }),
  }
}
