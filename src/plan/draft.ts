/**
 * A packet.yaml drafted out of what was read. What is declared already stays; what is only read becomes a suggestion that
 * declares nothing until a person takes it up, because a declaration is held against the files it came from.
 */
import { jobNumbers } from '../checks/identity/job-numbers.ts'
import { chooseReference, collectNumbers } from '../checks/identity/written-numbers.ts'
import type { DateReading, DocumentFacts } from '../facts/document.ts'
import type { Vocabulary } from '../facts/vocabulary.ts'
import type { Declaration, Packet } from '../packet/packet.ts'
import { draftFiles } from './draft-files.ts'
import type { DraftKey, DraftPart } from './draft-part.ts'
import { draftCalibrations, draftNotNeeded, draftPeople, draftRepairs } from './draft-work.ts'
import { findJob } from './job.ts'
import { gather, listFiles, listStated, readIn, type Stated } from './stated.ts'

/** The parts of the file, in its order. Pure; `vocabulary` tells what the words of a repair call for. */
export function draftDeclaration(packet: Packet, vocabulary: Vocabulary): DraftPart[] {
  const job = findJob(packet, vocabulary)
  const parts = [
    draftZone(packet),
    draftNumber(packet, 'job', 'What is the number of the repair order?'),
    draftNumber(packet, 'claim', 'Is there a claim, and what is its number?'),
    draftVehicle(packet),
    ask('loss', 'When did the damage happen?'),
    draftIntake(packet),
    draftRelease(packet),
    draftFiles(packet),
    draftRepairs(packet),
    draftCalibrations(packet, job),
    draftNotNeeded(job),
    draftPeople(packet),
    ask('shop', 'What is the name of the shop, and its location (latitude and longitude in degrees)?'),
  ]
  return parts.map((part) => keepDeclared(part, packet.declaration))
}

const ask = (key: DraftKey, question: string): DraftPart => ({ key, questions: [question], notes: [] })

/** A key that is declared is answered; what the files say beside it is for the checks to hold against it. */
function keepDeclared(part: DraftPart, declaration: Declaration | null): DraftPart {
  const declared = declaration?.[part.key]
  if (declared === undefined) return part
  const open = part.key === 'files' || part.key === 'calibrations' || part.key === 'notNeeded'
  return { key: part.key, declared, questions: open ? part.questions : [], notes: [] }
}

/** Every date that a document gives. */
function datesOf(document: DocumentFacts): DateReading[] {
  const { date, drive, alignment, photo, calibrations = [] } = document
  return [
    date,
    drive?.started,
    drive?.ended,
    alignment?.ended,
    photo?.taken,
    ...calibrations.flatMap(({ started, ended }) => [started, ended]),
  ].filter((reading) => reading !== undefined && reading !== null)
}

function draftZone({ documents }: Packet): DraftPart {
  const hasTime = ({ local }: DateReading): boolean => local !== null && local.length > 10
  const silent = documents.filter((document) =>
    datesOf(document).some((reading) => hasTime(reading) && reading.offset === null),
  )
  const printed = gather(documents, (document) =>
    datesOf(document).flatMap(({ offset }) => (offset === null || offset === '+00:00' ? [] : [offset])),
  )
  if (silent.length === 0) return { key: 'zone', questions: [], notes: [] }
  const files = silent.map(({ file }) => file)
  return {
    key: 'zone',
    questions: [
      `In which time zone were the clocks set that print none (${listFiles(files)})? Write its IANA name, such as America/Denver.`,
    ],
    notes: printed.map(({ value, files }) => `An offset of ${value} is printed in ${listFiles(files)}.`),
  }
}

/** Numbers written in two ways, with "RO" before them or not, are one. */
function draftNumber(packet: Packet, key: 'job' | 'claim', question: string): DraftPart {
  const kind = key === 'job' ? 'jobNumber' : 'claimNumber'
  const stated = collectNumbers({ ...packet, declaration: null }, kind, jobNumbers)
  const usual = chooseReference(stated, jobNumbers)
  if (usual === null) return ask(key, `${question} No file states it.`)
  if (stated.every(({ written }) => jobNumbers.same(written, usual.written)))
    return { key, questions: [], notes: [readIn(stated.map(({ file }) => file))], suggestion: usual.written.trim() }
  return ask(key, `${question} The files state ${listStated(gather(packet.documents, (document) => document[kind]))}.`)
}

const fullVin = /^[A-HJ-NPR-Z0-9]{17}$/

function draftVehicle({ documents }: Packet): DraftPart {
  const questions: string[] = []
  const suggestion: Record<string, unknown> = {}
  const read = new Set<string>()
  const settle = <V extends string | number>(name: string, stated: Stated<V>[], question: string): void => {
    const [first, ...others] = stated
    if (first === undefined) return
    if (others.length > 0) {
      questions.push(`${question} The files state ${listStated(stated)}.`)
      return
    }
    suggestion[name] = first.value
    for (const file of first.files) read.add(file)
  }
  const vins = gather(documents, ({ vin }) => vin?.toUpperCase()).filter(({ value }) => fullVin.test(value))
  settle('vin', vins, 'Which VIN does the vehicle itself show?')
  if (vins.length === 0) questions.push('Which VIN does the vehicle itself show? No file states it in full.')
  settle(
    'plate',
    gather(documents, ({ plate }) => plate?.trim() || undefined),
    'Which license plate is right?',
  )
  const years = gather(documents, ({ vehicle }) => vehicle?.year).filter(({ value }) => value >= 1950 && value <= 2100)
  settle('year', years, 'Which model year is right?')
  settle(
    'make',
    gather(documents, ({ vehicle }) => vehicle?.make?.trim() || undefined),
    'Which make is right?',
  )
  settle(
    'model',
    gather(documents, ({ vehicle }) => vehicle?.model?.trim() || undefined),
    'Which model is right?',
  )
  if (Object.keys(suggestion).length === 0) return { key: 'vehicle', questions, notes: [] }
  return { key: 'vehicle', questions, notes: [readIn([...read].sort())], suggestion }
}

interface Candidate {
  reading: DateReading
  file: string
}

/** As packet.yaml writes it; null where the day is not certain, or the year is a slip of the pen. */
function writeDate({ local, offset }: DateReading): string | null {
  const year = Number(local?.slice(0, 4))
  if (local === null || !(year >= 1980 && year <= 2200)) return null
  return local.length > 10 && offset !== null ? `${local}${offset}` : local
}

function candidatesOf(documents: readonly DocumentFacts[], kinds: readonly DocumentFacts['kind'][]): Candidate[] {
  return documents
    .filter(({ kind, date }) => kinds.includes(kind) && date !== undefined && writeDate(date) !== null)
    .map(({ file, date }) => ({ reading: date as DateReading, file }))
}

function suggestMoment(key: 'intake' | 'release', question: string, candidate: Candidate | undefined): DraftPart {
  if (candidate === undefined) return ask(key, question)
  const { reading, file } = candidate
  return {
    key,
    questions: [`${question} ${file} gives ${reading.text.trim()}, which it may be near.`],
    notes: [],
    suggestion: writeDate(reading),
  }
}

/** The vehicle is in the shop by the pre-scan; an estimate may be older than that. */
function draftIntake({ documents }: Packet): DraftPart {
  const candidates = [candidatesOf(documents, ['pre-scan']), candidatesOf(documents, ['estimate'])]
  const [first] = candidates.flatMap((group) =>
    group.toSorted((a, b) => compare(a.reading.earliest, b.reading.earliest) || compare(a.file, b.file)),
  )
  return suggestMoment('intake', 'When did the shop take the vehicle in?', first)
}

function draftRelease({ documents }: Packet): DraftPart {
  const stated = documents.flatMap(({ file, statements = [] }) =>
    statements.flatMap(({ about, date }): Candidate[] =>
      about === 'released' && date !== undefined && writeDate(date) !== null ? [{ reading: date, file }] : [],
    ),
  )
  const candidates = [stated, candidatesOf(documents, ['invoice']), candidatesOf(documents, ['post-scan'])]
  const [last] = candidates.flatMap((group) =>
    group.toSorted((a, b) => compare(b.reading.latest, a.reading.latest) || compare(a.file, b.file)),
  )
  return suggestMoment('release', 'When did the shop hand the vehicle back?', last)
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
