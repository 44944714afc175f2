/** Repairs, calibrations and people, as the files tell of them. */
import { findPlaces, nameSensor } from '../checks/places.ts'
import type { DocumentFacts } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Packet } from '../packet/packet.ts'
import type { DraftPart } from './draft-part.ts'
import type { Job, PlannedCalibration } from './job.ts'
import { gather, listFiles, readIn } from './stated.ts'

const filesOf = (evidence: readonly FilePlace[]): string[] => [...new Set(evidence.map(({ file }) => file))]

/** What is charged was done; an estimate tells only what was meant to be, so it speaks where there is no invoice. */
function pricedDocuments({ documents }: Packet): DocumentFacts[] {
  const invoices = documents.filter(({ kind, operations }) => kind === 'invoice' && (operations ?? []).length > 0)
  return invoices.length > 0 ? invoices : documents.filter(({ kind }) => kind === 'estimate')
}

export function draftRepairs(packet: Packet): DraftPart {
  const documents = pricedDocuments(packet)
  const repairs = gather(documents, ({ operations = [] }) =>
    operations.filter(({ kind, calls }) => kind === 'repair' && calls.length > 0).map(({ text }) => text.trim()),
  ).filter(({ value }) => value !== '')
  if (repairs.length === 0)
    return { key: 'repairs', questions: ['What was repaired, and when did each repair begin and end?'], notes: [] }
  const stated = packet.documents.flatMap((document) =>
    (document.statements ?? []).flatMap(({ about, text }, index) => {
      if (about !== 'repaired') return []
      const [place] = findPlaces(document, `statements.${index}`, text)
      return [`${document.file} says: ${place?.text ?? text}`]
    }),
  )
  return {
    key: 'repairs',
    questions: ['When did each repair begin and end? Add started and ended beneath what.'],
    notes: [`${readIn(documents.map(({ file }) => file))} Lines that bear on no sensor are left out.`, ...stated],
    suggestion: repairs.slice(0, 100).map(({ value }) => ({ what: value })),
  }
}

const known = ({ need }: PlannedCalibration): boolean => need === 'listed' || need === 'recorded'

export function draftCalibrations(packet: Packet, { calibrations }: Job): DraftPart {
  const read = calibrations.filter(known)
  const declared = packet.declaration?.calibrations !== undefined
  const questions = [
    ...calibrations.filter(({ need }) => need === 'usual').map(askWhetherNeeded),
    ...(declared ? read.map(askWhetherMissing) : []),
    ...read.filter(({ method }) => method === null).map(({ label }) => `By which method is the ${label} done?`),
  ]
  if (read.length === 0) return { key: 'calibrations', questions, notes: [] }
  return {
    key: 'calibrations',
    questions,
    notes: [readIn(filesOf(read.flatMap(({ evidence }) => evidence)))],
    suggestion: read.map(({ sensor, method, position }) => ({
      sensor,
      ...(method !== null && { method }),
      ...(position !== null && { position }),
    })),
  }
}

function askWhetherNeeded({ sensor, evidence }: PlannedCalibration): string {
  const [place] = evidence
  const repair = place === undefined ? 'A repair' : `“${place.text.trim()}” in ${place.file}`
  return `${repair} usually calls for a calibration of the ${nameSensor(sensor)}. Does the vehicle have that, and does its maker ask for it? If so, it goes under calibrations; if not, under notNeeded, with the reason.`
}

function askWhetherMissing({ label, evidence }: PlannedCalibration): string {
  return `Does the ${label} belong to this job? ${listFiles(filesOf(evidence))} tells of it, and calibrations does not.`
}

/** Entries whose reason is to be filled in; the questions stand with the calibrations. */
export function draftNotNeeded({ calibrations }: Job): DraftPart {
  const usual = calibrations.filter(({ need }) => need === 'usual')
  if (usual.length === 0) return { key: 'notNeeded', questions: [], notes: [] }
  return {
    key: 'notNeeded',
    questions: [],
    notes: ['Fill in why, such as: not fitted to this vehicle. Leave out what was needed.'],
    suggestion: usual.map(({ sensor }) => ({ sensor, because: null })),
  }
}

export function draftPeople({ documents }: Packet): DraftPart {
  const technicians = gather(documents, ({ technician }) => technician?.trim() || undefined)
  const roles = [...new Set(documents.flatMap(({ people = [] }) => people.map(({ role }) => role)))].sort()
  const others = roles.flatMap((role) =>
    gather(documents, ({ people = [] }) =>
      people.filter((person) => person.role === role && person.name.trim() !== '').map(({ name }) => name.trim()),
    ).map((stated) => ({ ...stated, role: role as string })),
  )
  const all = [...technicians.map((stated) => ({ ...stated, role: 'technician' })), ...others]
  if (all.length === 0)
    return { key: 'people', questions: ['Who did the work, who watched the drives, who reviewed it?'], notes: [] }
  return {
    key: 'people',
    questions: [],
    notes: [readIn([...new Set(all.flatMap(({ files }) => files))].sort())],
    suggestion: all.slice(0, 100).map(({ value, role }) => ({ name: value, role })),
  }
}
