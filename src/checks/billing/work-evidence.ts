/** Looks for evidence that a piece of billed work was done: a record of it, or at least somebody's word. */
import type { DocumentFacts, DocumentKind, Sensor } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords, finalAttempt, placesOfRecord } from '../calibrations.ts'
import { findPlaces } from '../places.ts'
import type { BilledWork } from './billed-work.ts'

export interface WorkEvidence {
  /** `record`: an instrument's or technician's record of the work; `word`: a statement, a photo, or a drive log alone. */
  strength: 'record' | 'word' | 'none'
  places: FilePlace[]
}

/** The strongest evidence that the packet holds for this work. A failed attempt is evidence that work was done. */
export function findEvidence(packet: Packet, work: BilledWork): WorkEvidence {
  const records = findRecords(packet, work)
  if (records.length > 0) return { strength: 'record', places: records }
  const words = findWords(packet, work)
  return { strength: words.length > 0 ? 'word' : 'none', places: words }
}

/** Roles of files in which a record of this work would stand. */
export function recordKinds(work: BilledWork): DocumentKind[] {
  if (work.kind === 'alignment') return ['alignment']
  return work.kind === 'calibration' ? ['calibration'] : ['pre-scan', 'post-scan', 'scan']
}

/** "scan0007.pdf" is what office scanners call anything, so that "scan" alone hints at nothing. */
const nameHints: Record<BilledWork['kind'], readonly string[]> = {
  alignment: ['wheel', 'wheels', 'alignment', 'align', 'axle', 'geometry', 'rack'],
  scan: ['prescan', 'postscan', 'pre', 'post', 'readout', 'dtc', 'dtcs', 'faults', 'codes'],
  calibration: ['calibration', 'calib', 'cal', 'aiming', 'adas', 'radar', 'camera', 'lidar', 'target'],
}

/**
 * May this file, which was not read or not told, be the record of that work? Its name is all that there is to go by: one
 * named after another kind of work ("4 wheel.pdf" beside a scan) is not taken for it.
 */
export function mayRecord({ file }: DocumentFacts, work: BilledWork): boolean {
  const words: readonly string[] = baseName(file).match(/[a-z]+/g) ?? []
  const hinted = Object.entries(nameHints).filter(([, hints]) => hints.some((hint) => words.includes(hint)))
  return hinted.length === 0 || hinted.some(([kind]) => kind === work.kind)
}

function baseName(file: string): string {
  return file.slice(file.lastIndexOf('/') + 1).toLowerCase()
}

function findRecords(packet: Packet, work: BilledWork): FilePlace[] {
  if (work.kind === 'calibration') return findCalibrationRecords(packet, work)
  const found = packet.documents.filter((document) => {
    if (work.kind === 'alignment') return document.kind === 'alignment' || document.alignment !== undefined
    if (work.when === 'any') return ['pre-scan', 'post-scan', 'scan'].includes(document.kind)
    return document.kind === (work.when === 'before' ? 'pre-scan' : 'post-scan') || document.kind === 'scan'
  })
  return found.flatMap((document) => findPlaces(document, work.kind === 'alignment' ? 'alignment' : 'date'))
}

type CalibrationWork = Extract<BilledWork, { kind: 'calibration' }>

function findCalibrationRecords(packet: Packet, work: CalibrationWork): FilePlace[] {
  const records = calibrationRecords(packet).filter(({ reading }) => {
    if (reading.sensor !== work.sensor || finalAttempt(reading).outcome === 'not-performed') return false
    const methods = [reading.method, work.method]
    return (methods.includes('unknown') || reading.method === work.method) && fits(reading.position, work.position)
  })
  const places = records.flatMap((record) => placesOfRecord(record, 'outcome'))
  return places.length > 0 || work.sensor !== 'steering-angle' ? places : findSteeringValues(packet)
}

/** A wheel alignment record that shows the steering angle is the usual record of its zero setting (common practice). */
function findSteeringValues(packet: Packet): FilePlace[] {
  return packet.documents.flatMap((document) => {
    const index = (document.alignment?.values ?? []).findIndex(({ name }) => /steering (angle|sensor)/i.test(name))
    return index < 0 ? [] : findPlaces(document, `alignment.values.${index}`)
  })
}

/** "front left" and "left" fit each other; an unstated position fits any. */
function fits(recorded: string | null, billed: string | null): boolean {
  if (recorded === null || billed === null) return true
  const [a, b] = [recorded.split(' '), billed.split(' ')]
  return a.every((word) => b.includes(word)) || b.every((word) => a.includes(word))
}

function findWords(packet: Packet, work: BilledWork): FilePlace[] {
  return packet.documents.flatMap((document): FilePlace[] => {
    if (document.kind === 'statement') return findStatement(document, work)
    if (document.kind === 'photo') return isNamedAfter(document, work) ? [{ file: document.file, text: '' }] : []
    const drive = work.kind === 'calibration' && work.method === 'dynamic' && document.drive !== undefined
    return drive ? findPlaces(document, 'drive') : []
  })
}

function findStatement(document: DocumentFacts, work: BilledWork): FilePlace[] {
  const operations = (document.operations ?? []).flatMap((operation, index) => {
    const named = work.kind !== 'calibration' || operation.calls.includes(work.sensor)
    return operation.kind === work.kind && named ? findPlaces(document, `operations.${index}`, operation.text) : []
  })
  const calibrations = (document.calibrations ?? []).flatMap((reading, index) =>
    work.kind === 'calibration' && reading.sensor === work.sensor ? findPlaces(document, `calibrations.${index}`) : [],
  )
  return [...operations, ...calibrations]
}

/** A picture is tied to work by nothing but its file's name: "target front radar.jpg". */
function isNamedAfter({ file }: DocumentFacts, work: BilledWork): boolean {
  const words: readonly string[] = baseName(file).match(/[a-z]+/g) ?? []
  const wanted = work.kind === 'calibration' ? wordsOf(work.sensor) : [work.kind]
  return wanted.every((word) => words.includes(word))
}

function wordsOf(sensor: Sensor): string[] {
  return sensor.split('-')
}
