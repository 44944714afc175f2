/** What a report tells about a packet, in the words by which it will be looked for. */
import type { CalibrationReading, DocumentFacts, DriveReading } from '../../facts/document.ts'
import type { Report } from '../../findings/report.ts'

/** What can be searched by. */
export const factKinds = [
  'vin',
  // By packet.yaml alone, where no file says it: found by the same searches, and told apart.
  'vin-declared',
  'plate',
  'job',
  'claim',
  'shop',
  'technician',
  'instrument',
  'instrument-serial',
  'software',
  'sensor',
  'code',
  'make',
] as const
export type FactKind = (typeof factKinds)[number]

export interface PacketFact {
  kind: FactKind
  value: string
}

/** Letters and digits alone, in capitals: numbers are typed with and without their dashes. */
export const foldNumber = (text: string): string => text.toUpperCase().replace(/[^\p{L}\p{N}]/gu, '')

/** One space between words, lower case: names are typed in any case. */
export const foldName = (text: string): string => text.trim().replace(/\s+/g, ' ').toLowerCase()

const isNumber: ReadonlySet<FactKind> = new Set([
  'vin',
  'vin-declared',
  'plate',
  'job',
  'claim',
  'instrument-serial',
  'code',
])

/** The form in which a value of that kind is kept and asked for. */
export const foldFact = (kind: FactKind, text: string): string =>
  isNumber.has(kind) ? foldNumber(text) : foldName(text)

/** Every fact of the documents in a report, folded, each once. */
export function factsOf(report: Report): PacketFact[] {
  const found = new Map<string, PacketFact>()
  const add = (kind: FactKind, text: string | null | undefined) => {
    const value = foldFact(kind, text ?? '')
    if (value !== '') found.set(`${kind} ${value}`, { kind, value })
  }
  for (const document of report.documents) addDocument(document, add)
  const vin = foldFact('vin', report.vehicle.vin ?? '')
  if (!found.has(`vin ${vin}`)) add('vin-declared', vin)
  return [...found.values()]
}

function addDocument(document: DocumentFacts, add: (kind: FactKind, text: string | null | undefined) => void): void {
  add('vin', document.vin)
  add('plate', document.plate)
  add('job', document.jobNumber)
  add('claim', document.claimNumber)
  add('technician', document.technician)
  add('make', document.vehicle?.make)
  add('instrument', document.instrument?.name)
  add('instrument-serial', document.instrument?.serial)
  add('software', document.instrument?.software)
  for (const { sensor } of document.calibrations ?? []) add('sensor', sensor)
  for (const { code } of document.codes ?? []) add('code', code)
}

export interface CalibrationFact {
  sensor: string
  method: string
  outcome: string
  started: string | null
  day: string | null
  durationSeconds: number | null
  /** Of the drive in the packet, where the calibration was dynamic and there is one drive. */
  driveSeconds: number | null
  technician: string | null
  /** Its serial number, or its name where it states none. */
  instrument: string | null
  software: string | null
}

/** Every calibration that a record of calibrations in the packet states. */
export function calibrationsOf(report: Report): CalibrationFact[] {
  const drives = report.documents.flatMap(({ drive }) => (drive === undefined ? [] : [drive]))
  const [drive] = drives.length === 1 ? drives : []
  return report.documents.flatMap((document) =>
    document.kind === 'calibration'
      ? (document.calibrations ?? []).map((calibration) => describe(document, calibration, drive))
      : [],
  )
}

function describe(
  document: DocumentFacts,
  calibration: CalibrationReading,
  drive: DriveReading | undefined,
): CalibrationFact {
  const { sensor, method, outcome, durationSeconds = null } = calibration
  const date = calibration.started ?? calibration.ended ?? document.date
  const local = date?.local ?? null
  const { name, serial, software } = document.instrument ?? {}
  return {
    sensor,
    method,
    outcome,
    started: local,
    day: local?.slice(0, 10) ?? null,
    durationSeconds,
    driveSeconds: method === 'dynamic' ? (drive?.durationSeconds ?? null) : null,
    technician: fold(document.technician, foldName),
    instrument: fold(serial, foldNumber) ?? fold(name, foldName),
    software: fold(software, foldName),
  }
}

const fold = (text: string | undefined, form: (text: string) => string): string | null =>
  text === undefined ? null : form(text) || null
