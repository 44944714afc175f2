import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, nameSensor } from '../places.ts'
import { collectParts, compareParts, findPartElsewhere, type PartStatement } from './part-numbers.ts'
import { groupBySensor } from './serial-statements.ts'

const sentence = 'The part number of the {sensor} is {part} in {file} and {other} in {otherFile}'

export const sensorPartAgrees: Check = {
  id: 'sensor-part-agrees',
  group: 'identity',
  claim: 'The part number of a sensor is the same where it is read, charged and shown on a label.',
  messages: {
    agrees: { state: 'met', text: 'The part number of the {sensor} is {part} in {files}.' },
    differs: { state: 'unmet', text: `${sentence}.` },
    'revision-differs': {
      state: 'unmet',
      text: `${sentence}: they differ in the last characters, which may count revisions.`,
    },
    'other-scheme': {
      state: 'unmet',
      text: `${sentence}: they are built differently and may be two numbers of one part, for the spare part and for the hardware.`,
    },
    'nothing-to-compare': {
      state: 'undecided',
      text: 'The part number of the {sensor} stands in {files} alone ({part}).',
    },
    'not-stated': { state: 'undecided', text: 'No file states the part number of a sensor.' },
  },
  parameters: {},
  remedy:
    'The label of the fitted sensor, and the parts list of the vehicle maker that says which numbers replace each other.',
  suppliers: ['shop', 'vehicle-maker'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'a part charged that is not the one fitted',
    insurer: 'paying for another part than the one fitted',
  },
  // The label that shows the serial number shows the part number too.
  collect: [],
  run(packet) {
    const outcomes = groupBySensor(collectParts(packet)).map((group) => judge(packet, group))
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'not-stated', data: {}, evidence: [] }]
  },
}

const worst = ['different', 'other-scheme', 'revision'] as const
const messages = { different: 'differs', 'other-scheme': 'other-scheme', revision: 'revision-differs' } as const

function judge(packet: Packet, group: readonly [PartStatement, ...PartStatement[]]): Outcome {
  const reference = group.find((statement) => statement.inRecord) ?? group[0]
  const sensor = nameSensor(reference.sensor, reference.position)
  const own = new Set(group.map(({ file }) => file))
  const { part, file } = reference
  for (const comparison of worst) {
    const odd = group.find(
      (statement) => compareParts(part, statement.part) === comparison && !showsBoth(packet, statement, part),
    )
    if (odd === undefined) continue
    const data = { sensor, part, file, other: odd.part, otherFile: odd.file }
    return { state: 'unmet', message: messages[comparison], data, evidence: [...reference.evidence, ...odd.evidence] }
  }
  const elsewhere = findPartElsewhere(packet, part, own)
  const files = [...new Set([...own, ...elsewhere.map((place) => place.file)])]
  const evidence = distinctPlaces([...group.flatMap((statement) => statement.evidence), ...elsewhere])
  const data = { sensor, part, files }
  if (files.length === 1) return { state: 'undecided', message: 'nothing-to-compare', data, evidence }
  return { state: 'met', message: 'agrees', data, evidence }
}

/** A bill that names the recorded number too, beside another, is about the same part. */
function showsBoth(packet: Packet, { file, inRecord }: PartStatement, part: string): boolean {
  if (inRecord) return false
  const others = new Set(packet.documents.flatMap((document) => (document.file === file ? [] : [document.file])))
  return findPartElsewhere(packet, part, others).length > 0
}
