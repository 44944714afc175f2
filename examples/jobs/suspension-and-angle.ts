/**
 * Control arm and tie rod replaced after a curb strike. Amiss: the wheels were aligned after the radar had been aimed, the
 * last scan still shows a code of the radar, and its odometer reads less than that of the scan two days earlier.
 */
import { drawGannetScan } from '../papers/gannet.ts'
import { drawOfficePaper } from '../papers/office.ts'
import { drawAlignment } from '../papers/plumb.ts'
import type { Code, Job, ScanRecord } from '../papers/records.ts'
import { drawRoadframe } from '../papers/roadframe.ts'
import { photographVin } from '../pictures/photos.ts'
import { people, shop, vehicles } from '../shop.ts'
import { at } from '../times.ts'
import { modulesOf, type PacketFiles } from './packet.ts'

const job: Job = { number: 'RO 26-1241', claim: 'QM-552-00318', vehicle: vehicles.brant }
const arrivalMiles = 64215

const scan = (title: string, time: string, miles: number, codes: Record<string, Code[]>): ScanRecord => ({
  job,
  title,
  at: at(time),
  miles,
  volts: 13.1,
  technician: people.lead,
  modules: modulesOf(['Steering Angle Sensor', 'Front Radar', 'Front Camera']).map((name) => ({
    name,
    ...(codes[name] ? { codes: codes[name] } : {}),
  })),
})

const lines: [string, number][] = [
  ['Pre-repair scan, all modules', 70],
  ['Lower control arm left: replace', 412.3],
  ['Tie rod end left: replace', 148.9],
  ['Four wheel alignment', 139],
  ['Steering angle sensor: zero setting', 65],
  ['Front radar calibration, static', 340],
  ['Post-repair scan, all modules', 70],
]

const declaration = `packet: 1
zone: ${shop.zone}
job: ${job.number}
intake: 2026-09-02T08:40
release: 2026-09-04T17:00
repairs:
  - { what: Lower control arm and tie rod end replaced, ended: 2026-09-03T15:00 }
shop: { name: ${shop.name}, location: [${shop.latitude}, ${shop.longitude}] }
`

/** Makes the files of the packet. */
export async function suspensionAndAngle(): Promise<PacketFiles> {
  const before: Record<string, Code[]> = {
    'Steering Angle Sensor': [{ code: 'C1455-76', status: 'Active', text: 'Wrong position' }],
  }
  const left: Record<string, Code[]> = {
    'Front Radar': [{ code: 'C1A53-78', status: 'Active', text: 'Alignment incorrect' }],
  }
  const setting = {
    job,
    vin: job.vehicle.vin,
    miles: arrivalMiles + 4,
    volts: 13.5,
    technician: people.lead,
    outcome: 'Completed',
  }
  return {
    'packet.yaml': declaration,
    '1 pre-scan.pdf': await drawGannetScan(scan('Pre-repair scan', '2026-09-02T09:10', arrivalMiles, before)),
    '2 estimate.pdf': await drawOfficePaper({
      job,
      kind: 'Estimate',
      number: 'E-3468',
      at: at('2026-09-02T10:15'),
      miles: arrivalMiles,
      lines,
    }),
    '3 steering angle.pdf': await drawRoadframe({
      ...setting,
      sensor: 'Steering angle sensor',
      method: 'initialization',
      from: at('2026-09-04T09:12:00'),
      until: at('2026-09-04T09:15:40'),
      procedure: 'KSI 12-006, issued 2025-11-04',
      conditions: [['Front wheels', 'straight ahead']],
      values: [['Steering angle after setting', 0.3, -1.5, 1.5, 'deg']],
    }),
    '4 front radar.pdf': await drawRoadframe({
      ...setting,
      sensor: 'Front radar',
      method: 'static',
      from: at('2026-09-04T09:30:15'),
      until: at('2026-09-04T09:58:50'),
      procedure: 'KSI 31-044, issued 2026-02-17',
      serial: 'KR7-0093355',
      conditions: [
        ['Tire pressures', 'front 36 psi, rear 35 psi'],
        ['Fuel and load', '1/2 tank, no load'],
        ['Floor', 'level within 4 mm'],
      ],
      values: [
        ['Target distance', 2.503, 2.495, 2.505, 'm'],
        ['Horizontal angle', 0.31, -1, 1, 'deg'],
        ['Vertical angle', -0.22, -0.5, 0.5, 'deg'],
      ],
    }),
    '5 wheel alignment.pdf': await drawAlignment({
      job,
      from: at('2026-09-04T13:20'),
      until: at('2026-09-04T13:52'),
      miles: arrivalMiles + 4,
      technician: people.second,
      rows: [
        ['Camber front left', -1.42, -0.61, -1.25, 0.25],
        ['Camber front right', -0.55, -0.55, -1.25, 0.25],
        ['Caster front left', 3.1, 4.02, 3.25, 4.75],
        ['Caster front right', 4.05, 4.05, 3.25, 4.75],
        ['Toe front left', -0.48, 0.06, -0.05, 0.15],
        ['Toe front right', 0.22, 0.05, -0.05, 0.15],
        ['Toe rear left', 0.11, 0.11, 0, 0.2],
        ['Toe rear right', 0.09, 0.09, 0, 0.2],
        ['Thrust angle', 0.02, 0.01, -0.15, 0.15],
      ],
    }),
    '6 post-scan.pdf': await drawGannetScan(scan('Post-repair scan', '2026-09-04T15:05', arrivalMiles - 17, left)),
    '7 invoice.pdf': await drawOfficePaper({
      job,
      kind: 'Invoice',
      number: '7188',
      at: at('2026-09-04T16:30'),
      miles: arrivalMiles + 4,
      lines,
    }),
    'door label.jpg': photographVin(job.vehicle.vin, [70, 72, 76], at('2026-09-02T08:51:03'), 1241),
  }
}
