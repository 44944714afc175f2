import type { DocumentFacts } from '../../facts/document.ts'
import { calibrationFiles } from '../calibration-files.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { findPlaces } from '../places.ts'
import { recordLine } from '../shared-lines.ts'
import { listFiles, placeFiles, wasRead } from '../unread.ts'

/** What may be wanted: the keys that state it, any of which will do, and its name for people. */
const particulars = new Map([
  ['instrument', { keys: ['name', 'serial'], words: 'name or serial number' }],
  ['serial', { keys: ['serial'], words: 'serial number' }],
  ['software', { keys: ['software'], words: 'software version' }],
  ['calibration-data', { keys: ['calibrationData'], words: 'version of its calibration data' }],
] as const)

type Particular = typeof particulars extends Map<string, infer Value> ? Value : never

export const equipmentNamed: Check = {
  id: 'equipment-named',
  group: 'completeness',
  claim: 'Every calibration record says with what instrument and which version it was made.',
  messages: {
    named: { state: 'met', text: '{files} states the {particulars} of the instrument.' },
    lacking: { state: 'unmet', text: '{files} does not state the {particulars} of the instrument.' },
    unread: {
      state: 'undecided',
      text: 'The {particulars} of the instrument was not found in {files}, which could not be read in full.',
    },
    'no-record': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {
    wanted:
      'What a record must state of its instrument: instrument (name or serial), serial, software, calibration-data.',
  },
  remedy: 'A record that states the instrument and its versions, or a statement of the calibrator that does.',
  suppliers: ['calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'being unable to show that the instrument was fit for the vehicle',
  },
  collect: [recordLine],
  run(packet, parameters) {
    const wanted = listParameter(parameters, 'wanted').map(particularOf)
    const documents = calibrationFiles(packet).map(({ document }) => document)
    if (documents.length === 0) return [{ state: 'undecided', message: 'no-record', data: {}, evidence: [] }]
    const groups = new Map<string, { lacking: Particular[]; documents: DocumentFacts[] }>()
    for (const document of documents) {
      const lacking = wanted.filter((particular) => !states(document, particular))
      const key = `${lacking.map(({ words }) => words).join()}|${lacking.length === 0 || wasRead(document)}`
      const group = groups.get(key) ?? { lacking, documents: [] }
      group.documents.push(document)
      groups.set(key, group)
    }
    return [...groups.values()].map((group) => describe(group.lacking, group.documents, wanted))
  },
}

function particularOf(name: string): Particular {
  const particular = particulars.get(name as never)
  if (particular !== undefined) return particular
  throw new TypeError(`parameter "wanted" knows ${[...particulars.keys()].join(', ')}, found ${name}`)
}

function states({ instrument }: DocumentFacts, { keys }: Particular): boolean {
  return keys.some((key) => instrument?.[key] !== undefined)
}

function describe(
  lacking: readonly Particular[],
  documents: readonly DocumentFacts[],
  wanted: readonly Particular[],
): Outcome {
  const told = lacking.length === 0 ? wanted : lacking
  const data = { files: listFiles(documents), particulars: told.map(({ words }) => words) }
  if (lacking.length > 0) {
    const [state, message] = documents.every(wasRead)
      ? (['unmet', 'lacking'] as const)
      : (['undecided', 'unread'] as const)
    return { state, message, data, evidence: placeFiles(documents) }
  }
  const evidence = documents.flatMap((document) =>
    told.flatMap(({ keys }) => {
      const key = keys.find((one) => document.instrument?.[one] !== undefined)
      return key === undefined ? [] : findPlaces(document, `instrument.${key}`)
    }),
  )
  return { state: 'met', message: 'named', data, evidence: evidence.length > 0 ? evidence : placeFiles(documents) }
}
