/**
 * Wheel alignment: asked for by packet.yaml, an estimate or an invoice, or usual after work on suspension and steering. What
 * is charged without a record is the business of `billed-is-evidenced`: one lack is not held against a shop twice.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationFiles } from '../calibration-files.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { listParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces, findDeclaredPlaces, findPlaces } from '../places.ts'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { findPossibleRecords, listFiles, placeFiles, wasRead } from '../unread.ts'
import { mentions } from '../wording.ts'

export const alignmentRecorded: Check = {
  id: 'alignment-recorded',
  group: 'completeness',
  claim: 'A wheel alignment that the work calls for has a record.',
  messages: {
    recorded: { state: 'met', text: 'The wheel alignment ({work}) is recorded in {files}.' },
    missing: {
      state: 'unmet',
      text: 'packet.yaml declares a wheel alignment ({work}), and no record of one is there.',
    },
    billed: {
      state: 'unmet',
      text: 'A wheel alignment is charged ({work}) and no record of one is there; billed-is-evidenced answers for what is charged.',
    },
    estimated: { state: 'unmet', text: 'A wheel alignment is estimated ({work}), and no record of one is there.' },
    usual: { state: 'unmet', text: 'A wheel alignment is usual after {work}, and no record of one is there.' },
    'maybe-unread': {
      state: 'undecided',
      text: 'No record of a wheel alignment ({work}) was recognised; {files} could not be read or recognised and may be it.',
    },
    'not-called-for': { state: 'undecided', text: 'Nothing in the packet calls for a wheel alignment.' },
  },
  parameters: {
    alignment: 'Words of a declared repair that is a wheel alignment, in lower case.',
    operations: 'Words of repairs that usually call for a wheel alignment, in lower case.',
    slight: 'Words of a repair line beside which it calls for none, in lower case.',
  },
  remedy: 'The printout of the wheel alignment, or the alignment measured now.',
  suppliers: ['shop'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'calibrations that refer to wheels nobody has shown to be aligned',
    owner: 'sensors aimed along another line than the vehicle drives',
  },
  collect: [
    { step: 'alignment', per: 'alignment', text: 'The printout of the alignment with its values before and after' },
  ],
  run(packet, parameters, procedures) {
    const needs = findNeeds(packet, parameters)
    const need = strengths
      .map((strength) => needs.filter((one) => one.strength === strength))
      .find(({ length }) => length > 0)
    if (need === undefined) return [{ state: 'undecided', message: 'not-called-for', data: {}, evidence: [] }]
    const outcome = judge(packet, need[0]?.strength ?? 'usual', need)
    return [outcome.state === 'met' ? outcome : { ...outcome, ...explain(packet, procedures) }]
  },
}

/** The strongest first; what is charged is told apart before anything else. */
const strengths = ['billed', 'missing', 'estimated', 'usual'] as const

interface Need {
  strength: (typeof strengths)[number]
  work: string
  places: FilePlace[]
}

function judge(packet: Packet, strength: Need['strength'], needs: readonly Need[]): Outcome {
  const work = [...new Set(needs.map((one) => one.work))]
  const places = needs.flatMap((one) => one.places)
  const records = packet.documents.filter(({ kind }) => kind === 'alignment')
  const read = records.filter((document) => wasRead(document) || holdsAlignment(document))
  if (read.length > 0) {
    const found = read.flatMap((document) => findPlaces(document, 'kind'))
    const data = { work, files: listFiles(read) }
    return { state: 'met', message: 'recorded', data, evidence: distinctPlaces([...found, ...places]) }
  }
  const possible = [...new Set([...records, ...findPossibleRecords(packet, ['alignment'])])]
  if (possible.length > 0) {
    const evidence = distinctPlaces([...places, ...placeFiles(possible)])
    return { state: 'undecided', message: 'maybe-unread', data: { work, files: listFiles(possible) }, evidence }
  }
  return { state: 'unmet', message: strength, data: { work }, evidence: distinctPlaces(places) }
}

/** A file that is only taken for an alignment holds none of its values. */
function holdsAlignment({ alignment }: DocumentFacts): boolean {
  return alignment !== undefined && (alignment.values.length > 0 || alignment.outcome !== 'unknown')
}

function findNeeds(packet: Packet, parameters: Parameters): Need[] {
  const alignment = listParameter(parameters, 'alignment')
  const operations = listParameter(parameters, 'operations')
  const slight = listParameter(parameters, 'slight')
  const isUsual = (text: string) => mentions(text, operations) && !mentions(text, slight)
  const declared = (packet.declaration?.repairs ?? []).flatMap(({ what }, index): Need[] => {
    const places = findDeclaredPlaces(packet, `repairs.${index}`, what)
    if (mentions(what, alignment)) return [{ strength: 'missing', work: what, places }]
    return isUsual(what) ? [{ strength: 'usual', work: what, places }] : []
  })
  const listed = packet.documents.flatMap((document) => {
    if (document.kind !== 'estimate' && document.kind !== 'invoice') return []
    return (document.operations ?? []).flatMap(({ kind, text, billed }, index): Need[] => {
      const places = findPlaces(document, `operations.${index}`, text)
      if (kind === 'alignment')
        return [{ strength: document.kind === 'invoice' && billed ? 'billed' : 'estimated', work: text, places }]
      return kind === 'repair' && isUsual(text) ? [{ strength: 'usual', work: text, places }] : []
    })
  })
  return [...declared, ...listed]
}

/** Why it matters here: the recorded calibrations that rely on wheels aligned first. */
function explain(packet: Packet, procedures: readonly ProcedureEntry[]): Pick<Outcome, 'working' | 'sources'> {
  const relying = calibrationFiles(packet).flatMap(({ records }) =>
    records.flatMap(({ reading, label }) => {
      const procedure = findProcedure(procedures, packet, reading.sensor, reading.method)
      return procedure.values.alignmentFirst === true
        ? [{ label, sources: sourcesOf(procedure, 'alignmentFirst') }]
        : []
    }),
  )
  const labels = [...new Set(relying.map(({ label }) => label))]
  return {
    working: labels.map(
      (calibration): WorkingStep => ({
        text: 'The calibration of the {calibration} relies on wheels that were aligned first.',
        data: { calibration },
      }),
    ),
    sources: [...new Set(relying.flatMap(({ sources }) => sources))],
  }
}
