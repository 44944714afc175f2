/**
 * What a job is, as far as its packet tells: repairs, alignments, and the calibrations that it calls for. The same
 * readings that the checks go by (`collectRequired`, `workOf`, `collectReplaced`), so that a packet put together by the
 * plan is one that the checks find complete.
 */
import { workOf } from '../checks/billing/billed-work.ts'
import { calibrationRecords } from '../checks/calibrations.ts'
import { jobNumbers } from '../checks/identity/job-numbers.ts'
import { collectReplaced } from '../checks/identity/serial-statements.ts'
import { chooseReference, collectNumbers } from '../checks/identity/written-numbers.ts'
import { findDeclaredPlaces, findPlaces, nameSensor } from '../checks/places.ts'
import type { CalibrationMethod, DocumentFacts, OperationReading, Sensor } from '../facts/document.ts'
import { agreesInPosition } from '../facts/position.ts'
import type { FilePlace } from '../facts/reading.ts'
import { classifyOperation } from '../facts/recognise/operations.ts'
import type { Vocabulary } from '../facts/vocabulary.ts'
import type { Packet } from '../packet/packet.ts'

/**
 * How sure it is that a calibration belongs to the job: packet.yaml declares it, an estimate or invoice lists it, a file
 * records it, or a repair usually calls for it, which is for the vehicle maker's information to say.
 */
export type Need = 'declared' | 'listed' | 'recorded' | 'usual'

export interface PlannedCalibration {
  sensor: Sensor
  position: string | null
  /** Null where nothing says which. */
  method: CalibrationMethod | null
  need: Need
  /** For people: "dynamic calibration of the front radar". */
  label: string
  evidence: FilePlace[]
}

/** Something of the job that is asked for once: a repair, an alignment, a sensor that is replaced. */
export interface JobPart {
  label: string
  evidence: FilePlace[]
}

export interface Job {
  /** Repair-order number, where packet.yaml declares it or the files agree on one. */
  number: string | null
  vehicle: Packet['vehicle']
  repairs: JobPart[]
  alignments: JobPart[]
  replacedSensors: JobPart[]
  /** Declared ones first, then those listed, recorded, and usually called for. */
  calibrations: PlannedCalibration[]
  notNeeded: { sensor: Sensor; because: string }[]
}

type Mention = Omit<PlannedCalibration, 'label'>

/** The job of a packet. `vocabulary` tells what the words of a declared repair call for. */
export function findJob(packet: Packet, vocabulary: Vocabulary): Job {
  const lines = collectLines(packet, vocabulary)
  const notNeeded = packet.declaration?.notNeeded ?? []
  const alignments = lines.filter(({ operation }) => operation.kind === 'alignment')
  return {
    number: findNumber(packet),
    vehicle: packet.vehicle,
    repairs: findRepairs(packet, lines),
    alignments: mergeParts([
      ...alignments.map(({ evidence }) => ({ label: 'wheel alignment', evidence })),
      ...packet.documents
        .filter(({ kind }) => kind === 'alignment')
        .map((document) => ({ label: 'wheel alignment', evidence: findPlaces(document, 'alignment') })),
    ]),
    replacedSensors: mergeParts(
      collectReplaced(packet).map(({ sensor, position, evidence }) => ({
        label: nameSensor(sensor, position),
        evidence,
      })),
    ),
    calibrations: findCalibrations(packet, lines, new Set(notNeeded.map(({ sensor }) => sensor))),
    notNeeded: notNeeded.map(({ sensor, because }) => ({ sensor, because })),
  }
}

function findNumber(packet: Packet): string | null {
  const stated = collectNumbers(packet, 'jobNumber', jobNumbers)
  const usual = chooseReference(stated, jobNumbers)
  const agreed = usual !== null && stated.every(({ written }) => jobNumbers.same(written, usual.written))
  return packet.declaration?.job ?? (agreed ? usual.written : null)
}

/** A line of an estimate or invoice, or a declared repair read as if it were one. */
interface JobLine {
  operation: Omit<OperationReading, 'billed'>
  declared: boolean
  evidence: FilePlace[]
}

const isPriced = ({ kind }: DocumentFacts): boolean => kind === 'estimate' || kind === 'invoice'

function collectLines(packet: Packet, vocabulary: Vocabulary): JobLine[] {
  const declared = (packet.declaration?.repairs ?? []).map(({ what }, index): JobLine => {
    const evidence = findDeclaredPlaces(packet, `repairs.${index}.what`, what)
    return { operation: { text: what, ...classifyOperation(what, vocabulary) }, declared: true, evidence }
  })
  const listed = packet.documents.filter(isPriced).flatMap((document) =>
    (document.operations ?? []).map((operation, index): JobLine => {
      return { operation, declared: false, evidence: findPlaces(document, `operations.${index}`, operation.text) }
    }),
  )
  return [...declared, ...listed]
}

/** Declared repairs; where none is declared, those of the estimate or invoice that bear on a sensor. */
function findRepairs(packet: Packet, lines: readonly JobLine[]): JobPart[] {
  const anyDeclared = (packet.declaration?.repairs ?? []).length > 0
  const own = lines.filter(({ declared, operation }) => {
    if (anyDeclared) return declared
    return operation.kind === 'repair' && operation.calls.length > 0
  })
  return mergeParts(own.map(({ operation, evidence }) => ({ label: operation.text, evidence })))
}

function mergeParts(parts: readonly JobPart[]): JobPart[] {
  const merged = new Map<string, JobPart>()
  for (const { label, evidence } of parts) {
    const known = merged.get(label.toLowerCase())
    if (known === undefined) merged.set(label.toLowerCase(), { label, evidence: [...evidence] })
    else known.evidence.push(...evidence)
  }
  return [...merged.values()]
}

function findCalibrations(
  packet: Packet,
  lines: readonly JobLine[],
  notNeeded: ReadonlySet<Sensor>,
): PlannedCalibration[] {
  const planned = declaredCalibrations(packet)
  const listed = lines.filter(({ operation }) => operation.kind === 'calibration').flatMap(listedCalibrations)
  for (const mention of listed) if (!notNeeded.has(mention.sensor)) join(planned, mention)
  for (const mention of recordedCalibrations(packet)) join(planned, mention)
  for (const mention of lines.flatMap(usualCalibrations)) {
    // One of the sensor anywhere answers the repair's call; a position on a repair line is the part's.
    const known = planned.find(({ sensor }) => sensor === mention.sensor)
    if (known?.need === 'usual') known.evidence.push(...mention.evidence)
    else if (known === undefined && !notNeeded.has(mention.sensor)) planned.push(mention)
  }
  return planned.map((one) => ({ ...one, label: labelOf(one) }))
}

function declaredCalibrations(packet: Packet): Mention[] {
  return (packet.declaration?.calibrations ?? []).map(({ sensor, method, position }, index) => ({
    sensor,
    position: position ?? null,
    method: knownMethod(method),
    need: 'declared',
    evidence: findDeclaredPlaces(packet, `calibrations.${index}`, nameSensor(sensor, position)),
  }))
}

function listedCalibrations({ operation, evidence }: JobLine): Mention[] {
  const work = workOf({ ...operation, billed: false }).flatMap((one) => (one.kind === 'calibration' ? [one] : []))
  const others = operation.calls
    .filter((sensor) => sensor === 'other')
    .map((sensor) => ({ sensor, position: operation.position ?? null, method: operation.method }))
  return [...work, ...others].map(({ sensor, position, method }) => {
    return { sensor, position, method: knownMethod(method), need: 'listed', evidence: [...evidence] }
  })
}

function recordedCalibrations(packet: Packet): Mention[] {
  return calibrationRecords(packet)
    .filter(({ reading }) => reading.outcome !== 'not-performed')
    .map(({ document, index, reading: { sensor, position, method } }) => {
      const evidence = findPlaces(document, `calibrations.${index}`, nameSensor(sensor, position))
      return { sensor, position, method: knownMethod(method), need: 'recorded', evidence }
    })
}

function usualCalibrations({ operation, evidence }: JobLine): Mention[] {
  if (operation.kind !== 'repair' && operation.kind !== 'alignment') return []
  return operation.calls.map((sensor) => {
    return { sensor, position: null, method: null, need: 'usual', evidence: [...evidence] }
  })
}

function knownMethod(method: CalibrationMethod | undefined): CalibrationMethod | null {
  return method === undefined || method === 'unknown' ? null : method
}

/** Adds a mention to the calibration that it speaks of, or as one more. */
function join(planned: Mention[], mention: Mention): void {
  const alike = planned.filter(
    ({ sensor, position }) => sensor === mention.sensor && agreesInPosition(position, mention.position),
  )
  const same = alike.find(({ method }) => mention.method === null || method === mention.method)
  const open = same ?? alike.find(({ method }) => method === null)
  if (open === undefined) {
    planned.push(mention)
    return
  }
  open.method ??= mention.method
  open.evidence.push(...mention.evidence)
}

function labelOf({ sensor, position, method }: Mention): string {
  const what = method === 'initialisation' ? method : `${method === null ? '' : `${method} `}calibration`
  return `${what} of the ${nameSensor(sensor, position)}`
}
