/**
 * Grille and front radar replaced. Amiss: the road calibration ended after 90 seconds at 62 %, took place the day before the
 * radar was fitted, and no scan was made on arrival.
 */
import { writeGannetTable } from '../papers/gannet.ts'
import { drawOfficePaper } from '../papers/office.ts'
import type { Job } from '../papers/records.ts'
import { drawWayline, wayline } from '../papers/wayline.ts'
import { photographScreen, photographVin } from '../pictures/photos.ts'
import { people, shop, vehicles } from '../shop.ts'
import { at } from '../times.ts'
import { driveRoute, milesOf } from '../tracks/drive.ts'
import { writeCsvTrack } from '../tracks/formats.ts'
import { modulesOf, type PacketFiles } from './packet.ts'

const job: Job = { number: 'RO 26-1266', claim: 'QM-552-01127', vehicle: vehicles.tarn }
const arrivalMiles = 9127
const serial = 'BT4-7710265'

const drive = driveRoute({
  corners: [
    [0, 0],
    [-4828, 0],
  ],
  speeds: [18.4],
  stops: [0],
  seed: 1266,
  cutSeconds: 90,
})
const from = at('2026-10-06T14:02:10')
const until = from + drive.seconds

const lines: [string, number][] = [
  ['Grille: replace', 284.6],
  [`Front radar: replace, serial ${serial}`, 918.25],
  ['Front radar calibration, dynamic', 310],
  ['Post-repair scan, all modules', 70],
]

const declaration = `packet: 1
zone: ${shop.zone}
job: ${job.number}
intake: 2026-10-05T15:40
release: 2026-10-08T10:00
repairs:
  - { what: Grille and front radar replaced, started: 2026-10-07T09:00, ended: 2026-10-07T11:15 }
shop: { name: ${shop.name}, location: [${shop.latitude}, ${shop.longitude}] }
`

/** Makes the files of the packet. */
export async function quickDrive(): Promise<PacketFiles> {
  const steps = [0, 14, 31, 47, 62].map((percent, index): [number, number] => [Math.round((90 * index) / 4), percent])
  return {
    'packet.yaml': declaration,
    'estimate 26-1266.pdf': await drawOfficePaper({
      job,
      kind: 'Estimate',
      number: 'E-3502',
      at: at('2026-10-05T16:25'),
      miles: arrivalMiles,
      lines,
    }),
    'road calibration.pdf': await drawWayline(
      {
        job,
        vin: job.vehicle.vin,
        sensor: 'Front radar',
        method: 'Dynamic',
        from,
        until,
        miles: arrivalMiles + 1,
        volts: 13.9,
        technician: people.second,
        outcome: 'Stopped before completion',
        progress: 62,
        procedure: 'BSI 27-310, issued 2026-06-30',
        serial,
        conditions: [],
        values: [],
      },
      steps,
      milesOf(drive.metres),
    ),
    'road log 1006.csv': writeCsvTrack(drive, from, {
      Logger: `${wayline.name} ${wayline.serial}`,
      VIN: job.vehicle.vin,
      Job: job.number,
      Clock: `local UTC${shop.offset}`,
    }),
    'post-scan 26-1266.csv': writeGannetTable({
      job,
      title: 'Post-repair scan',
      at: at('2026-10-07T16:20:35'),
      miles: arrivalMiles + 2,
      volts: 13,
      technician: people.second,
      modules: modulesOf(['Front Radar', 'Front Camera', 'Parking Aid']).map((name) => ({ name })),
    }),
    'invoice 26-1266.pdf': await drawOfficePaper({
      job,
      kind: 'Invoice',
      number: '7251',
      at: at('2026-10-08T09:10'),
      miles: arrivalMiles + 2,
      lines,
    }),
    'PIC_0117.jpg': photographVin(job.vehicle.vin, [40, 66, 52], at('2026-10-05T15:58:20'), 117),
    'PIC_0121.jpg': photographScreen(
      ['JOB 26-1266', `VIN ${job.vehicle.vin}`, 'DRIVE TIME 01:30', 'STOPPED BEFORE COMPLETION'],
      62,
      until + 12,
      121,
    ),
  }
}
