/**
 * A packet before it is set on paper: what each file will say, as data. Injectors change this and nothing else; layouts
 * turn it into files. Times are true time in seconds (see `clocks.ts`); every paper prints them by its own clock.
 */
import type { CalibrationMethod, Sensor } from '../../../src/facts/document.ts'
import type { Clock } from './clocks.ts'
import type { Sample } from './drive.ts'
import type { Instrument } from './instruments.ts'
import type { Shop } from './shop.ts'
import type { Vehicle } from './vehicle.ts'

/** What nearly every paper shows of the job. `null`: it does not show it. */
export interface Head {
  vin: string | null
  plate: string | null
  year: number
  make: string
  model: string
  job: string | null
  claim: string | null
  miles: number | null
  technician: string | null
  instrument: Instrument | null
  clock: Clock
}

interface Paper {
  file: string
  format: 'pdf' | 'txt' | 'csv' | 'json' | 'xml'
  /** Which layout of its kind. */
  layout: number
  head: Head
  /** True time at which the program wrote the file. */
  made: number
  /** How much of its date the paper prints. */
  dating: 'full' | 'day' | 'none'
  /** A page left out (counted from 1), as a torn-out sheet would be; 0: none. */
  missingPage: number
}

export interface Code {
  code: string
  /** Failure type byte, or null where the instrument prints none. */
  type: string | null
  status: 'Active' | 'Confirmed' | 'Stored' | 'Pending' | 'Permanent' | 'History'
  text: string
}

export interface ScannedModule {
  name: string
  state: 'answers' | 'silent'
  codes: Code[]
}

export interface ScanPaper extends Paper {
  kind: 'scan'
  when: 'before' | 'after'
  title: string
  at: number
  modules: ScannedModule[]
  volts: number | null
  support: string | null
  statedCodes: number | null
  statedModules: number | null
  /** Lines beneath the tables. */
  notes: string[]
}

export interface Measured {
  name: string
  value: number
  unit: string
  least: number
  most: number
  verdict: 'OK' | 'out of range' | null
}

export interface CalibrationEntry {
  sensor: Sensor
  /** As printed: "Left corner radar". */
  name: string
  position: string | null
  method: CalibrationMethod
  started: number | null
  ended: number | null
  durationSeconds: number | null
  /** Was the sensor itself replaced? */
  replaced: boolean
  outcome: string | null
  progress: number | null
  /** Seconds from the start, percent. */
  steps: [number, number][]
  attempts: { at: number; outcome: string; progress: number }[]
  serial: string | null
  part: string | null
  procedure: string | null
  values: Measured[]
  distanceMiles: number | null
  observer: string | null
  driver: string | null
  /** "Tire pressures" → "front 36 psi, rear 35 psi". */
  preparation: [string, string][]
}

export interface CalibrationPaper extends Paper {
  kind: 'calibration'
  title: string
  entries: CalibrationEntry[]
  volts: number | null
  support: string | null
  notes: string[]
}

export interface AlignmentPaper extends Paper {
  kind: 'alignment'
  started: number
  ended: number
  rows: { name: string; before: number; after: number; least: number; most: number }[]
  notes: string[]
}

export interface BillLine {
  text: string
  amount: number
  /** What it charges, for injectors. */
  of: 'repair' | 'scan-before' | 'scan-after' | 'alignment' | 'calibration' | 'other'
  calibration?: { sensor: Sensor; position: string | null; method: CalibrationMethod }
}

export interface BillPaper extends Paper {
  kind: 'bill'
  which: 'estimate' | 'invoice' | 'sublet'
  issuer: string
  number: string
  at: number
  lines: BillLine[]
  notes: string[]
  loss: number | null
  preparedBy: string | null
}

export interface DrivePaper extends Paper {
  kind: 'drive'
  log: 'gpx' | 'nmea' | 'csv'
  /** The calibration it belongs to. */
  sensor: Sensor
  start: number
  samples: Sample[]
}

export interface PhotoPaper extends Paper {
  kind: 'photo'
  of: 'vin' | 'label' | 'odometer' | 'targets'
  taken: number | null
  text: string
  camera: string
  /** Program that wrote the file, in place of the camera's own. */
  software: string | null
  latitude: number
  longitude: number
  seed: number
  /** Of the JPEG, where it is not the usual one. */
  quality?: number
}

export interface NotePaper extends Paper {
  kind: 'note'
  title: string
  at: number
  fields: [string, string][]
  lines: string[]
}

export type AnyPaper = ScanPaper | CalibrationPaper | AlignmentPaper | BillPaper | DrivePaper | PhotoPaper | NotePaper

export interface Declared {
  zone: string | null
  job: string
  claim: string
  vin: string
  plate: string
  loss: number
  intake: number
  release: number
  repairs: { what: string; started: number; ended: number }[]
  calibrations: { sensor: Sensor; method: CalibrationMethod; position: string | null }[]
  notNeeded: { sensor: Sensor; because: string }[]
  people: { name: string; role: string }[]
}

export interface Damage {
  file: string
  /**
   * `revise`: the bytes of `instead` follow as a later revision of the same PDF; `script`: the PDF runs a script when opened;
   * `sign-revise`, `sign-note`, `sign-alter`: it is signed, and then revised as by `revise`,
   * given a note over its words, or changed by a letter within what was signed;
   * `edited`: a program that edits pictures leaves its name in the photograph; `picture`: the page becomes a picture of itself.
   */
  how:
    | 'cut'
    | 'empty'
    | 'garbage'
    | 'copy'
    | 'revise'
    | 'script'
    | 'edited'
    | 'picture'
    | 'resaved'
    | 'hidden'
    | 'painted'
    | 'patched'
    | 'sign-revise'
    | 'sign-note'
    | 'sign-alter'
  as?: string
  instead?: AnyPaper
}

export interface Draft {
  seed: number
  profile: Profile
  shop: Shop
  vehicle: Vehicle
  papers: AnyPaper[]
  /** What packet.yaml will say; null where the packet has none. */
  declared: Declared | null
  /** Changes to the bytes of finished files, by file name: damage, copies. */
  damage: Damage[]
  /** Files that are no paper of the job. */
  extra: { file: string; text: string }[]
}

/** `complete`: as if someone had followed the catalogue. `ordinary`: without what ordinary shops leave out, not at fault. */
export type Profile = 'complete' | 'ordinary'
