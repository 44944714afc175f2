/**
 * The supply during scans and calibrations. A weak battery sets codes, stops a calibration, or makes a module lose what it
 * learned. Between 13 and 14 volts something charges it: a support unit, or the engine that runs.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { findProcedure, type ProcedureEntry, sourcesOf } from '../procedures.ts'
import { listFiles } from '../unread.ts'
import { listsConditions } from './stated-conditions.ts'

export const batterySupported: Check = {
  id: 'battery-supported',
  group: 'preconditions',
  claim: 'The supply was high enough, and supported, during scans and calibrations.',
  messages: {
    low: {
      state: 'unmet',
      text: '{file} states {volts} V, less than the {least} V below which the work does not stand.',
    },
    weak: { state: 'unmet', text: '{file} states {volts} V, less than the {least} V of a battery in good order.' },
    unsupported: { state: 'unmet', text: '{file} states that no battery support was connected: "{text}".' },
    'left-out': {
      state: 'unmet',
      text: 'Conditions of the calibration stand in {files}, and neither the voltage nor a support unit.',
    },
    supported: { state: 'met', text: 'A battery support unit, or a voltage of one, is recorded in {files}.' },
    'not-recorded': {
      state: 'undecided',
      text: 'Neither a support unit nor a voltage that only a charged supply has is recorded in {files}.',
    },
    'no-record': { state: 'undecided', text: 'The packet holds no scan and no calibration record.' },
  },
  parameters: {
    chargedVolts: 'Voltage from which on something must be charging the battery, in volts.',
    leastOthers: 'How many other conditions in one record make a list, from which this one is then missing.',
  },
  remedy: 'A record that shows the voltage under a support unit, or the work repeated with one.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a calibration that a weak supply may have spoilt',
    shop: 'codes that come from a weak supply and not from the vehicle',
  },
  collect: [
    {
      step: 'preparation',
      per: 'job',
      text: 'Connect a battery support unit, and see that scans and calibration records state it or the voltage',
    },
  ],
  run(packet, parameters, procedures) {
    const charged = numberParameter(parameters, 'chargedVolts')
    const leastOthers = numberParameter(parameters, 'leastOthers')
    const records = packet.documents.filter(({ kind }) =>
      ['pre-scan', 'post-scan', 'scan', 'calibration'].includes(kind),
    )
    if (records.length === 0) return [{ state: 'undecided', message: 'no-record', data: {}, evidence: [] }]
    const unmet = records.flatMap((document) => judgeSupply(packet, document, charged, procedures))
    if (unmet.length > 0) return unmet
    const silent = records.filter((document) => !isSupported(document, charged))
    const omitting = silent.filter(
      (document) => voltsOf(document).length === 0 && listsConditions(document, [], leastOthers),
    )
    if (omitting.length > 0) {
      const evidence = omitting.flatMap((document) => findPlaces(document, 'conditions.0'))
      return [{ state: 'unmet', message: 'left-out', data: { files: listFiles(omitting) }, evidence }]
    }
    if (silent.length > 0)
      return [{ state: 'undecided', message: 'not-recorded', data: { files: listFiles(silent) }, evidence: [] }]
    const evidence = distinctPlaces(records.flatMap(placesOfSupply))
    return [{ state: 'met', message: 'supported', data: { files: listFiles(records) }, evidence }]
  },
}

interface Volts {
  volts: number
  places: FilePlace[]
}

/** Every voltage that a file states of its supply; that of a 24 V system is halved. */
function voltsOf(document: DocumentFacts): Volts[] {
  const own = document.batteryVolts === undefined ? [] : [{ volts: document.batteryVolts, path: 'batteryVolts' }]
  const others = (document.conditions ?? []).flatMap(({ about, value }, index) =>
    about === 'supply-volts' && value !== undefined ? [{ volts: value, path: `conditions.${index}` }] : [],
  )
  return [...own, ...others].map(({ volts, path }) => ({
    volts: volts > 18 ? volts / 2 : volts,
    places: findPlaces(document, path, `${volts} V`),
  }))
}

function supportIn(document: DocumentFacts): { stated: 'ok' | 'out'; text: string; places: FilePlace[] }[] {
  return (document.conditions ?? []).flatMap(({ about, stated, text }, index) =>
    about === 'battery-support' && stated !== undefined
      ? [{ stated, text, places: findPlaces(document, `conditions.${index}`, text) }]
      : [],
  )
}

function isSupported(document: DocumentFacts, charged: number): boolean {
  const support = supportIn(document)
  return support.some(({ stated }) => stated === 'ok') || voltsOf(document).some(({ volts }) => volts >= charged)
}

const placesOfSupply = (document: DocumentFacts): FilePlace[] => [
  ...voltsOf(document).flatMap(({ places }) => places),
  ...supportIn(document).flatMap(({ places }) => places),
]

/** The lowest voltage of a file where it is too low, else words that say that nothing supported the battery. */
function judgeSupply(
  packet: Packet,
  document: DocumentFacts,
  charged: number,
  procedures: readonly ProcedureEntry[],
): Outcome[] {
  const { file } = document
  const [lowest] = voltsOf(document).toSorted((a, b) => a.volts - b.volts)
  const bounds = boundsFor(packet, document, procedures)
  if (lowest !== undefined && bounds !== null) {
    const [least, good] = bounds.volts
    const message = lowest.volts < least ? 'low' : lowest.volts < good ? 'weak' : null
    const data = { file, volts: lowest.volts, least: message === 'low' ? least : good }
    if (message !== null) return [{ state: 'unmet', message, data, evidence: lowest.places, sources: bounds.sources }]
  }
  const without = supportIn(document).find(({ stated }) => stated === 'out')
  if (without === undefined || isSupported(document, charged)) return []
  return [{ state: 'unmet', message: 'unsupported', data: { file, text: without.text }, evidence: without.places }]
}

/** The strictest bounds of the file's calibrations; for a scan those that hold for any work. */
function boundsFor(
  packet: Packet,
  document: DocumentFacts,
  procedures: readonly ProcedureEntry[],
): { volts: readonly [number, number]; sources: string[] } | null {
  const calibrations = document.calibrations ?? []
  const asked = calibrations.length > 0 ? calibrations : [{ sensor: 'other', method: 'unknown' } as const]
  const found = asked.flatMap(({ sensor, method }) => {
    const procedure = findProcedure(procedures, packet, sensor, method)
    const volts = procedure.values.supplyVolts
    return volts === undefined ? [] : [{ volts, sources: sourcesOf(procedure, 'supplyVolts') }]
  })
  if (found.length === 0) return null
  return {
    volts: [Math.max(...found.map(({ volts }) => volts[0])), Math.max(...found.map(({ volts }) => volts[1]))],
    sources: [...new Set(found.flatMap(({ sources }) => sources))],
  }
}
