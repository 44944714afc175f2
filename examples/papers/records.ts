/** What the invented reports are made of. Times are seconds, local. */
import type { Vehicle } from '../shop.ts'

export interface Job {
  number: string
  claim: string
  vehicle: Vehicle
}

export interface Code {
  code: string
  status: 'Active' | 'Stored'
  text: string
}

export interface ScanRecord {
  job: Job
  title: string
  at: number
  miles: number
  volts: number
  technician: string
  modules: { name: string; codes?: Code[] }[]
}

export interface CalibrationRecord {
  job: Job
  /** As typed into the instrument. */
  vin: string
  sensor: string
  method: string
  from: number
  until: number
  miles: number
  volts: number
  technician: string
  observer?: string
  outcome: string
  progress?: number
  procedure: string
  part?: string
  serial?: string
  conditions: [string, string][]
  /** Name, value, lower limit, upper limit, unit. */
  values: [string, number, number, number, string][]
}
