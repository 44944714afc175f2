import type { DocumentFacts } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationFiles } from '../calibration-files.ts'
import type { Check, Outcome } from '../check.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'
import { recordLine } from '../shared-lines.ts'
import { listFiles, placeFiles, wasRead } from '../unread.ts'

export const technicianNamed: Check = {
  id: 'technician-named',
  group: 'completeness',
  claim: 'Every calibration record names who did the work.',
  messages: {
    named: { state: 'met', text: '{files}: {names} did the work.' },
    'not-named': { state: 'unmet', text: '{files} does not name who did the calibration.' },
    'declared-only': {
      state: 'unmet',
      text: '{files} does not name who did the calibration; packet.yaml declares {names}.',
    },
    unread: { state: 'undecided', text: 'No name was found in {files}, which could not be read in full.' },
    'no-record': { state: 'undecided', text: 'The packet holds no calibration record.' },
  },
  parameters: {},
  remedy: 'A record with the name of the technician, or the name declared under "people" in packet.yaml.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'work that nobody can be asked about',
  },
  collect: [recordLine],
  run(packet) {
    const documents = calibrationFiles(packet).map(({ document }) => document)
    if (documents.length === 0) return [{ state: 'undecided', message: 'no-record', data: {}, evidence: [] }]
    const lacking = documents.filter((document) => namesIn(document).length === 0)
    const named = documents.filter((document) => !lacking.includes(document))
    return [
      ...describeNamed(named),
      ...describeLack(packet, lacking.filter(wasRead)),
      ...describeUnread(lacking.filter((document) => !wasRead(document))),
    ]
  },
}

/** Who drove or watched the instrument did the work of a drive. */
function namesIn({ technician, people = [] }: DocumentFacts): string[] {
  if (technician !== undefined) return [technician]
  return people.filter(({ role }) => role !== 'reviewer').map(({ name }) => name)
}

function describeNamed(documents: readonly DocumentFacts[]): Outcome[] {
  if (documents.length === 0) return []
  const names = [...new Set(documents.flatMap(namesIn))]
  const evidence = documents.flatMap((document) =>
    findPlaces(document, document.technician === undefined ? 'people.0' : 'technician'),
  )
  return [{ state: 'met', message: 'named', data: { files: listFiles(documents), names }, evidence }]
}

function describeLack(packet: Packet, documents: readonly DocumentFacts[]): Outcome[] {
  if (documents.length === 0) return []
  const files = listFiles(documents)
  const evidence = placeFiles(documents)
  const declared = (packet.declaration?.people ?? []).flatMap(({ name, role }, index) =>
    /technician|calibrat|mechanic|operator/i.test(role) ? [{ name, index }] : [],
  )
  if (declared.length === 0) return [{ state: 'unmet', message: 'not-named', data: { files }, evidence }]
  const places = declared.flatMap(({ name, index }) => findDeclaredPlaces(packet, `people.${index}`, name))
  const data = { files, names: declared.map(({ name }) => name) }
  return [{ state: 'unmet', message: 'declared-only', data, evidence: [...evidence, ...places] }]
}

function describeUnread(documents: readonly DocumentFacts[]): Outcome[] {
  if (documents.length === 0) return []
  return [
    { state: 'undecided', message: 'unread', data: { files: listFiles(documents) }, evidence: placeFiles(documents) },
  ]
}
