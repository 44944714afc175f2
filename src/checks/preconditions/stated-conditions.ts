/**
 * The conditions that a packet's records state, the calibrations that ask for one, and what to make of its absence.
 *
 * Many instruments print no conditions at all. So an absence is only unmet where a record prints others and leaves this
 * one out; where a file was not read in full, or its words name the thing without being understood, nothing is said.
 */
import type { Condition, ConditionKind, DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { type CalibrationRecord, calibrationRecords, finalAttempt, isMention } from '../calibrations.ts'
import type { Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { findProcedure, type Preparation, type Procedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { findPossibleRecords, listFiles } from '../unread.ts'

export interface StatedCondition {
  document: DocumentFacts
  condition: Condition
  places: FilePlace[]
}

/** Conditions of some kinds, in the order of files and of lines within a file. */
export function findConditions(packet: Packet, kinds: readonly ConditionKind[]): StatedCondition[] {
  return packet.documents.flatMap((document) =>
    (document.conditions ?? []).flatMap((condition, index): StatedCondition[] =>
      kinds.includes(condition.about)
        ? [{ document, condition, places: findPlaces(document, `conditions.${index}`, condition.text) }]
        : [],
    ),
  )
}

export interface PreparedCalibration {
  record: CalibrationRecord
  procedure: Procedure
}

/** The calibrations that were attempted and whose procedure asks for one of `preparations`. */
export function findPrepared(
  packet: Packet,
  procedures: readonly ProcedureEntry[],
  preparations: readonly Preparation[],
): PreparedCalibration[] {
  const records = calibrationRecords(packet)
  return records.flatMap((record): PreparedCalibration[] => {
    if (isMention(record, records) || finalAttempt(record.reading).outcome === 'not-performed') return []
    const procedure = findProcedure(procedures, packet, record.reading.sensor, record.reading.method)
    const asked = procedure.values.preparation ?? []
    return preparations.some((preparation) => asked.includes(preparation)) ? [{ record, procedure }] : []
  })
}

/** The sources of what the calibrations' procedures ask for, each once. */
export function preparationSources(prepared: readonly PreparedCalibration[]): string[] {
  return [...new Set(prepared.flatMap(({ procedure }) => sourcesOf(procedure, 'preparation')))]
}

/** True where the record calls the condition out of order, or its figure lies outside the limits printed beside it. */
export function isOut({ stated, value, least, most }: Condition): boolean {
  if (value !== undefined && least !== undefined && value < least) return true
  if (value !== undefined && most !== undefined && value > most) return true
  return stated === 'out'
}

/** The files among `documents` whose words name the thing, though no condition was read there. */
function findMentions(packet: Packet, documents: readonly DocumentFacts[], words: RegExp): DocumentFacts[] {
  return documents.filter(({ file }) => packet.content[file]?.lines.some(({ text }) => words.test(text)) === true)
}

export interface Lack {
  /** The calibrations that ask for it. */
  prepared: readonly PreparedCalibration[]
  /** What would have told it. */
  kinds: readonly ConditionKind[]
  /** Words by which a record may tell it in a manner that is not read. */
  words: RegExp
  /** How many other conditions make a list of conditions. */
  leastOthers: number
}

/** Conditions of the vehicle and the bay. Supply and targets stand on records that list no conditions. */
const listed: ReadonlySet<ConditionKind> = new Set<ConditionKind>([
  'tire-pressure',
  'fuel',
  'load',
  'ride-height',
  'steering-zero',
  'floor',
  'light',
])

/** True when the record lists at least so many kinds of conditions, not counting `kinds`. */
export function listsConditions(
  { conditions = [] }: DocumentFacts,
  kinds: readonly ConditionKind[],
  leastOthers: number,
): boolean {
  const others = conditions.map(({ about }) => about).filter((about) => listed.has(about) && !kinds.includes(about))
  return new Set(others).size >= leastOthers
}

/**
 * One outcome for a condition that no file states: `maybe-unread`, `mentioned`, `left-out` or `not-recorded`. Data:
 * `files`, and `calibrations` by name.
 */
export function judgeLack(packet: Packet, { prepared, kinds, words, leastOthers }: Lack): Outcome {
  const documents = [...new Set(prepared.map(({ record }) => record.document))]
  const calibrations = prepared.map(({ record }) => record.label)
  const sources = preparationSources(prepared)
  const told = (state: Outcome['state'], message: string, files: readonly DocumentFacts[], evidence: FilePlace[]) => ({
    state,
    message,
    data: { files: listFiles(files), calibrations },
    evidence,
    sources,
  })
  const unread = findPossibleRecords(packet, ['calibration', 'alignment', 'statement'])
  if (unread.length > 0) return told('undecided', 'maybe-unread', unread, [])
  const mentions = findMentions(packet, documents, words)
  if (mentions.length > 0) return told('undecided', 'mentioned', mentions, [])
  const lists = documents.filter((document) => listsConditions(document, kinds, leastOthers))
  if (lists.length === 0) return told('undecided', 'not-recorded', documents, [])
  const evidence = lists.flatMap((document) => findPlaces(document, 'conditions.0', document.conditions?.[0]?.text))
  return told('unmet', 'left-out', lists, evidence)
}

/** The declarations of the outcomes that `judgeLack` gives; `subject` is what was looked for. */
export function lackMessages(subject: string) {
  return {
    'left-out': {
      state: 'unmet',
      text: `Conditions of the calibration stand in {files}, and nothing of ${subject}.`,
    },
    'not-recorded': { state: 'undecided', text: `No file states ${subject} (asked for by: {calibrations}).` },
    mentioned: { state: 'undecided', text: `Words about ${subject} stand in {files} and were not understood.` },
    'maybe-unread': {
      state: 'undecided',
      text: `Something about ${subject} may stand in {files}, not all of which was read.`,
    },
    'not-asked': { state: 'undecided', text: `No recorded calibration asks for ${subject}.` },
  } as const
}

/** The parameter of every check that judges a lack. */
export const lackParameters = {
  leastOthers: 'How many other conditions in one record make a list, from which this one is then missing.',
}

/** For a packet without a calibration that asks for it. */
export const notAsked: Outcome = { state: 'undecided', message: 'not-asked', data: {}, evidence: [] }
