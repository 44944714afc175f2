/** Front bumper and radar bracket replaced, the front radar learned on the road. Nothing is amiss. */
import { drawLanternScan } from '../papers/lantern.ts'
import { drawOfficePaper } from '../papers/office.ts'
import type { Code, Job, ScanRecord } from '../papers/records.ts'
import { drawRoadframe } from '../papers/roadframe.ts'
import { photographOdometer, photographScreen, photographSensorLabel, photographVin } from '../pictures/photos.ts'
import { people, shop, vehicles } from '../shop.ts'
import { at, clockSeconds, utc } from '../times.ts'
import { driveRoute, milesOf } from '../tracks/drive.ts'
import { writeGpx } from '../tracks/formats.ts'
import { modulesOf, type PacketFiles } from './packet.ts'

const job: Job = { number: 'RO 26-1183', claim: 'QM-551-20773', vehicle: vehicles.ondine }
const arrivalMiles = 31406
const serial = 'RA26-4480917'
const part = 'TS-5510-R3'

const drive = driveRoute({
  corners: [
    [0, 0],
    [6437, 0],
    [6437, 1609],
    [0, 1609],
    [0, 0],
  ],
  speeds: [23.2, 21, 23.6, 19.5],
  stops: [4, 0, 0, 0],
  seed: 1183,
})
const from = at('2026-06-11T10:05:12')
const until = from + drive.seconds
const departureMiles = arrivalMiles + 1 + Math.round(milesOf(drive.metres))

const scan = (title: string, time: string, miles: number, codes: Record<string, Code[]>): ScanRecord => ({
  job,
  title,
  at: at(time),
  miles,
  volts: 13.4,
  technician: people.lead,
  modules: modulesOf(['Front Radar', 'Front Camera', 'Blind Spot Radar Left', 'Blind Spot Radar Right']).map(
    (name) => ({
      name,
      ...(codes[name] ? { codes: codes[name] } : {}),
    }),
  ),
})

const repairLines: [string, number][] = [
  ['Front bumper cover: replace and refinish', 1146.2],
  ['Front radar bracket: replace', 188.4],
  ['Front radar calibration, dynamic', 310],
]

const declaration = `packet: 1
zone: ${shop.zone}
job: ${job.number}
claim: ${job.claim}
vehicle: { vin: ${job.vehicle.vin}, plate: ${job.vehicle.plate} }
loss: 2026-06-03
intake: 2026-06-08T07:55
release: 2026-06-12T15:30
repairs:
  - { what: Front bumper cover and radar bracket replaced, started: 2026-06-09T08:30, ended: 2026-06-10T16:20 }
calibrations:
  - { sensor: front-radar, method: dynamic }
notNeeded:
  - { sensor: ultrasonic, because: this model has no parking sensors in its front bumper }
people:
  - { name: ${people.lead}, role: technician }
  - { name: ${people.second}, role: observer }
  - { name: ${people.quality}, role: reviewer }
shop: { name: ${shop.name}, location: [${shop.latitude}, ${shop.longitude}] }
`

/** Makes the files of the packet. */
export async function bumperAndRadar(): Promise<PacketFiles> {
  const misaligned: Code[] = [{ code: 'C1A41-78', status: 'Active', text: 'Horizontal alignment out of range' }]
  return {
    'packet.yaml': declaration,
    'pre-scan 26-1183.pdf': await drawLanternScan(
      scan('Pre-repair scan', '2026-06-08T08:26', arrivalMiles, { 'Front Radar': misaligned }),
    ),
    'estimate 26-1183.pdf': await drawOfficePaper({
      job,
      kind: 'Estimate',
      number: 'E-3381',
      at: at('2026-06-08T09:40'),
      miles: arrivalMiles,
      lines: [
        ['Pre-repair scan, all modules', 70],
        ...repairLines,
        ['Post-repair scan, all modules', 70],
        ['Shop materials', 34.75],
      ],
    }),
    'front radar 26-1183.pdf': await drawRoadframe({
      job,
      vin: job.vehicle.vin,
      sensor: 'Front radar',
      method: 'dynamic',
      from,
      until,
      miles: departureMiles,
      volts: 13.6,
      technician: people.lead,
      observer: people.second,
      outcome: 'Completed',
      progress: 100,
      procedure: 'TSI 41-0207, issued 2026-03-12',
      part,
      serial,
      conditions: [
        ['Tire pressures', 'front 36 psi, rear 35 psi'],
        ['Fuel and load', '1/2 tank, no load'],
      ],
      values: [
        ['Vertical angle before drive', -0.11, -0.5, 0.5, 'deg'],
        ['Horizontal angle learned', 0.24, -3, 3, 'deg'],
        ['Vertical angle learned', -0.18, -1, 1, 'deg'],
      ],
    }),
    'drive 2026-06-11.gpx': writeGpx(drive, utc(from), `RO 26-1183 VIN ${job.vehicle.vin}`),
    'post-scan 26-1183.pdf': await drawLanternScan(scan('Post-repair scan', '2026-06-11T10:52', departureMiles, {})),
    'invoice 26-1183.pdf': await drawOfficePaper({
      job,
      kind: 'Invoice',
      number: '7044',
      at: at('2026-06-12T11:05'),
      miles: departureMiles,
      lines: [
        ['Pre-repair scan, all modules', 70],
        ...repairLines,
        ['Post-repair scan, all modules', 70],
        ['Shop materials', 34.75],
      ],
    }),
    'IMG_3012 vin.jpg': photographVin(job.vehicle.vin, [72, 88, 112], at('2026-06-08T08:02:37'), 3012),
    'IMG_3051 radar label.jpg': photographSensorLabel(part, serial, at('2026-06-10T14:38:09'), 3051),
    'IMG_3064 screen.jpg': photographScreen(
      [`JOB 26-1183  ${clockSeconds(until)}`, `VIN ${job.vehicle.vin}`, 'RESULT: COMPLETED'],
      100,
      until + 21,
      3064,
    ),
    'IMG_3066 odometer.jpg': photographOdometer(String(departureMiles), at('2026-06-11T10:49:30'), 3066),
  }
}
