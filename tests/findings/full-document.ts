/** A document that speaks of everything a document can speak of: every key of every shape once. */
import type {
  CalibrationReading,
  CodeReading,
  DateReading,
  DocumentFacts,
  DriveReading,
  InstrumentReading,
  MeasuredValue,
  ModuleReading,
  OperationReading,
  PersonReading,
} from '../../src/facts/document.ts'
import { makePlace } from '../checks/packet-builder.ts'

const date: Required<DateReading> = {
  text: '04/05/2026 2:05 PM',
  local: null,
  offset: null,
  earliest: '2026-04-05T00:05:00Z',
  latest: '2026-05-05T02:05:59Z',
  alternatives: ['2026-04-05T14:05', '2026-05-04T14:05'],
  zone: 'America/Denver',
}
const value: Required<MeasuredValue> = { name: 'Yaw', value: 0.1, unit: 'deg', least: -1, most: 1, stated: 'ok' }
const moduleReading: Required<ModuleReading> = {
  name: 'Front radar',
  state: 'fault',
  system: 'driver-assistance',
  sensor: 'front-radar',
  position: 'centre',
}
const code: Required<CodeReading> = {
  module: 'Front radar',
  code: 'C1A67',
  failureType: '54',
  status: 'active',
  text: 'Calibration missing',
  system: 'driver-assistance',
}
const calibration: Required<CalibrationReading> = {
  sensor: 'front-radar',
  position: 'centre',
  method: 'dynamic',
  outcome: 'completed',
  progressPercent: 100,
  started: date,
  ended: date,
  durationSeconds: 600,
  serial: 'FR-1',
  part: 'P-1',
  procedure: 'D-1',
  values: [value],
  attempts: [{ outcome: 'failed', progressPercent: 40, at: date }],
  name: 'Front radar',
  distanceMetres: 8000,
  readings: [{ percent: 10, at: date }],
}
const drive: Required<DriveReading> = {
  started: date,
  ended: date,
  durationSeconds: 600,
  distanceMetres: 8000,
  points: 601,
  movingSeconds: 580,
  meanSpeedKmh: 50,
  maxSpeedKmh: 70,
  start: [39.7, -105],
  end: [39.8, -105.1],
}
const operation: Required<OperationReading> = {
  text: 'Front radar calibration',
  calls: ['front-radar'],
  billed: true,
  amount: 325,
  kind: 'calibration',
  method: 'dynamic',
  position: null,
  scan: 'after',
  serial: 'FR-1',
  part: 'P-1',
}

const instrument: Required<InstrumentReading> = {
  name: 'Ombrel 7',
  serial: '7',
  software: '1.0',
  calibrationData: '2026-04 B',
  checkedUntil: date,
  checkedOn: date,
}
const person: Required<PersonReading> = { name: 'Una Example', role: 'observer' }

export const fullDocument: Required<DocumentFacts> = {
  file: 'everything.pdf',
  sha256: 'ab'.repeat(32),
  bytes: 48211,
  media: 'application/pdf',
  kind: 'calibration',
  kindFrom: 'heading',
  vin: '1ZZTE5T11NB000421',
  vins: [{ value: '1ZZTE5T11NB000421', evidence: [makePlace('VIN')] }],
  date,
  lossDate: date,
  odometer: { value: 48211, unit: 'mi' },
  vehicle: { year: 2022, make: 'Ombrel', model: 'Seven' },
  plate: 'TEST 1',
  jobNumber: 'RO-1',
  claimNumber: 'CL-1',
  batteryVolts: 12.6,
  technician: 'T. Example',
  instrument,
  people: [person],
  modules: [moduleReading],
  codes: [code],
  statedCodeCount: 1,
  statedModuleCount: 1,
  calibrations: [calibration],
  alignment: { values: [value], outcome: 'completed', ended: date },
  drive,
  operations: [operation],
  photo: {
    taken: date,
    location: [39.7, -105],
    camera: 'Example',
    software: 'Example',
    barcodes: [{ symbology: 'code-128', text: 'FR-1' }],
  },
  statements: [{ about: 'released', text: 'Released to the owner', date }],
  pages: 2,
  problems: [{ code: 'ambiguous-date', message: 'Day and month cannot be told apart.' }],
  evidence: { vin: [makePlace('VIN')], 'codes.0': [makePlace('C1A67-54')] },
}
