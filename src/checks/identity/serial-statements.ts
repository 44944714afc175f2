/** What a packet says of the serial numbers of sensors: in calibration records, on invoices and estimates, on labels. */
import type { DocumentFacts, Sensor } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { vinIn } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords } from '../calibrations.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'
import { listCodes } from './bar-codes.ts'

export interface SerialStatement extends SensorPlace {
  file: string
  /** As written. */
  serial: string
  /** Whether a calibration record states it, or only a bill or an estimate. */
  inRecord: boolean
  evidence: FilePlace[]
}

/** Upper case letters and digits alone: spaces, hyphens and dots group a serial number and mean nothing. */
export function normaliseSerial(serial: string): string {
  return serial.toUpperCase().replace(/[^A-Z0-9]/g, '')
}

export interface SensorPlace {
  sensor: Sensor
  position: string | null
}

/** Statements about one sensor at one position; one without a position joins the only position there is, else stands alone. */
export function groupBySensor<Statement extends SensorPlace>(
  statements: readonly Statement[],
): (readonly [Statement, ...Statement[]])[] {
  const groups = new Map<string, [Statement, ...Statement[]]>()
  for (const statement of statements) {
    const same = statements.filter((other) => other.sensor === statement.sensor)
    const positions = [...new Set(same.flatMap((other) => (other.position === null ? [] : [other.position])))]
    const position = statement.position ?? (positions.length === 1 ? positions[0] : null)
    const key = `${statement.sensor} ${position}`
    const placed = { ...statement, position: position ?? null }
    const group = groups.get(key)
    if (group) group.push(placed)
    else groups.set(key, [placed])
  }
  return [...groups.values()]
}

/** Serials that are stated for one known sensor. A line that stands for several sensors says nothing of one. */
export function collectSerials(packet: Packet): SerialStatement[] {
  const recorded = calibrationRecords(packet).flatMap(({ document, index, reading }): SerialStatement[] => {
    const { sensor, position, serial } = reading
    if (serial === undefined || sensor === 'other') return []
    const evidence = findPlaces(document, `calibrations.${index}.serial`, serial)
    return [{ file: document.file, sensor, position, serial, inRecord: true, evidence }]
  })
  return [...recorded, ...packet.documents.flatMap(collectBilled)]
}

function collectBilled(document: DocumentFacts): SerialStatement[] {
  return (document.operations ?? []).flatMap(({ calls, position, serial }, index): SerialStatement[] => {
    const [sensor, ...more] = calls
    if (serial === undefined || sensor === undefined || more.length > 0) return []
    const evidence = findPlaces(document, `operations.${index}.serial`, serial)
    return [{ file: document.file, sensor, position: position ?? null, serial, inRecord: false, evidence }]
  })
}

export interface Label {
  file: string
  /** Texts of its bar codes that may hold a serial number. */
  texts: string[]
  /** Whether it is a photo of a label; codes on papers also hold the numbers of jobs, orders and pages. */
  isPhoto: boolean
  evidence: FilePlace[]
}

/** Photographed labels and papers whose bar codes hold something that is neither a VIN nor a part number stated in the packet. */
export function collectLabels(packet: Packet): Label[] {
  const parts = new Set(
    packet.documents.flatMap(({ calibrations = [], operations = [] }) =>
      [...calibrations, ...operations].flatMap(({ part }) => (part === undefined ? [] : [normaliseSerial(part)])),
    ),
  )
  return packet.documents.flatMap((document): Label[] => {
    const codes = listCodes(document).filter(({ text }) => {
      const bare = normaliseSerial(text)
      return bare.length >= 4 && vinIn(text) === null && !parts.has(bare)
    })
    if (codes.length === 0) return []
    const evidence = codes.flatMap((code) => code.evidence)
    return [{ file: document.file, texts: codes.map(({ text }) => text), isPhoto: document.kind === 'photo', evidence }]
  })
}

export interface ReplacedSensor {
  sensor: Sensor
  position: string | null
  /** The line that says so. */
  text: string
  evidence: FilePlace[]
}

const replaced = /\b(?:replac\w*|renew\w*|exchang\w*|new)\b|\bR\s?&\s?R\b/i
// What surrounds a sensor is replaced far more often than the sensor: such a line does not say that the sensor is new.
const surroundings =
  /\b(?:bracket|mount(?:ing)?|cover|harness|wiring|housing|trim|bezel|connector|glass|windshield|bumper|grille|mirror|door)\b/i
const names: Partial<Record<Sensor, RegExp>> = {
  'front-radar': /\bradars?\b|\bdistance sensors?\b/i,
  'corner-radar': /\bradars?\b|\bblind.?spot (?:sensor|module)s?\b/i,
  'front-camera': /\bcameras?\b/i,
  'rear-camera': /\bcameras?\b/i,
  'surround-camera': /\bcameras?\b/i,
  'infrared-camera': /\bcameras?\b/i,
  ultrasonic: /\bultrasonic\b|\bpark(?:ing)? (?:\w+ )?sensor/i,
  lidar: /\blidars?\b|\blaser scanners?\b/i,
  'steering-angle': /\bsteering angle sensor\b/i,
  'occupant-classification': /\boccupant\b.*\b(?:sensor|mat|module)s?\b/i,
  'ride-height': /\b(?:ride.?height|level) sensors?\b/i,
}

/** Sensors of which a repair line says that they were replaced themselves. */
export function collectReplaced(packet: Packet): ReplacedSensor[] {
  const billed = packet.documents.flatMap((document) =>
    (document.operations ?? []).flatMap((operation, index) => {
      if (operation.kind !== 'repair') return []
      const evidence = findPlaces(document, `operations.${index}`, operation.text)
      return findReplaced(operation.text, operation.calls, operation.position ?? null, evidence)
    }),
  )
  const declared = (packet.declaration?.repairs ?? []).flatMap(({ what }, index) =>
    findReplaced(what, sensorsNamedIn(what), null, findDeclaredPlaces(packet, `repairs.${index}.what`, what)),
  )
  return [...billed, ...declared]
}

/** True where a line is about the sensor itself, not about what holds or covers it. */
export function namesSensorItself(text: string, sensor: Sensor): boolean {
  return !surroundings.test(text) && names[sensor]?.test(text) === true
}

function findReplaced(text: string, sensors: readonly Sensor[], position: string | null, evidence: FilePlace[]) {
  if (!replaced.test(text)) return []
  return sensors
    .filter((sensor) => namesSensorItself(text, sensor))
    .map((sensor): ReplacedSensor => ({ sensor, position, text, evidence }))
}

/** The sensors that a declared repair names in so many words: "front radar replaced". */
function sensorsNamedIn(text: string): Sensor[] {
  const words = text.toLowerCase().replace(/[^a-z]+/g, ' ')
  return (Object.keys(names) as Sensor[]).filter((sensor) => words.includes(sensor.replaceAll('-', ' ')))
}
