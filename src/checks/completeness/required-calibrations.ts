/**
 * The calibrations that a packet requires a record of.
 *
 * - Declared in packet.yaml: each one, with its method and position where they are stated.
 * - Called for by a repair, where an estimate or invoice lists the calibration too: one record of the sensor. A repair's
 *   call alone requires nothing here: whether a calibration was needed is for the vehicle maker's information to say.
 * - Listed on an estimate or invoice and neither declared nor called for: reported, but whether what is charged was done
 *   is the business of `billed-is-evidenced`, which looks at every line and method. One lack is not held against a shop
 *   twice.
 */
import type { CalibrationMethod, Sensor } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces, nameSensor } from '../places.ts'

export interface RequiredCalibration {
  sensor: Sensor
  position: string | null
  /** Null where any method will do. */
  method: CalibrationMethod | null
  source: 'declared' | 'called-for' | 'listed'
  /** For people: "static calibration of the left corner radar". */
  label: string
  evidence: FilePlace[]
}

/** Each requirement once: declared ones first, then those of estimates and invoices in the order of files. */
export function collectRequired(packet: Packet): RequiredCalibration[] {
  const declared = (packet.declaration?.calibrations ?? []).map(({ sensor, method, position }, index) =>
    require({
      sensor,
      position: position ?? null,
      method: method && method !== 'unknown' ? method : null,
      source: 'declared',
    }, findDeclaredPlaces(packet, `calibrations.${index}`, `${nameSensor(sensor, position)} ${method ?? ''}`.trim())),
  )
  const required: RequiredCalibration[] = [...declared]
  const notNeeded = new Set((packet.declaration?.notNeeded ?? []).map(({ sensor }) => sensor))
  const called = findCalls(packet)
  for (const listed of findListed(packet)) {
    const known = required.find(({ sensor, position }) => sensor === listed.sensor && meets(position, listed.position))
    if (known || notNeeded.has(listed.sensor)) {
      known?.evidence.push(...(known.source === 'declared' ? [] : listed.evidence))
      continue
    }
    const calls = called.filter(({ sensor }) => sensor === listed.sensor)
    const source = calls.length > 0 ? 'called-for' : 'listed'
    required.push(
      require({ ...listed, method: null, source }, [...listed.evidence, ...calls.flatMap((c) => c.evidence)]),
    )
  }
  return required
}

function require(
  calibration: Omit<RequiredCalibration, 'label' | 'evidence'>,
  evidence: FilePlace[],
): RequiredCalibration {
  const { sensor, position, method } = calibration
  const label = `${method ? `${method} ` : ''}calibration of the ${nameSensor(sensor, position)}`
  return { ...calibration, label, evidence: [...evidence] }
}

function meets(a: string | null, b: string | null): boolean {
  return a === null || b === null || a === b
}

interface Mention {
  sensor: Sensor
  position: string | null
  evidence: FilePlace[]
}

/** Calibration lines of estimates and invoices. */
function findListed(packet: Packet): Mention[] {
  return findOperations(packet, (kind) => kind === 'calibration')
}

/** Sensors that a repair or alignment usually calls to calibrate. A position on a repair line is the part's, not the sensor's. */
function findCalls(packet: Packet): Mention[] {
  return findOperations(packet, (kind) => kind === 'repair' || kind === 'alignment')
}

function findOperations(packet: Packet, wanted: (kind: string) => boolean): Mention[] {
  return packet.documents.flatMap((document) => {
    if (document.kind !== 'estimate' && document.kind !== 'invoice') return []
    return (document.operations ?? []).flatMap(({ kind, calls, position, text }, index) => {
      if (!wanted(kind)) return []
      const evidence = findPlaces(document, `operations.${index}`, text)
      return calls.map((sensor): Mention => ({ sensor, position: position ?? null, evidence }))
    })
  })
}
