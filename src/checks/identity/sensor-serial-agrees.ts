import { agreesInPosition } from '../../facts/position.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { nameSensor } from '../places.ts'
import { findPossibleRecords } from '../unread.ts'
import {
  collectLabels,
  collectReplaced,
  collectSerials,
  groupBySensor,
  type Label,
  normaliseSerial,
  type ReplacedSensor,
  type SerialStatement,
} from './serial-statements.ts'

export const sensorSerialAgrees: Check = {
  id: 'sensor-serial-agrees',
  group: 'identity',
  claim: 'The serial number of a calibrated sensor is the same wherever it stands.',
  messages: {
    agrees: { state: 'met', text: 'The serial number of the {sensor} is {serial} in {files}.' },
    differs: {
      state: 'unmet',
      text: 'The serial number of the {sensor} is {serial} in {file} and {other} in {otherFile}.',
    },
    'label-differs': {
      state: 'unmet',
      text: 'The serial number of the {sensor} is {serial} in {file}, and the label in {otherFile} reads {labels}.',
    },
    'none-recorded': {
      state: 'unmet',
      text: 'The {sensor} was replaced ("{operation}"), and no file states the serial number of the one that is fitted.',
    },
    'too-short': {
      state: 'undecided',
      text: 'The serial number of the {sensor} in {file}, {serial}, agrees with {other} in {otherFile} but is too short a part to tell.',
    },
    'label-unclear': {
      state: 'undecided',
      text: 'The serial number of the {sensor} in {file}, {serial}, is on none of the labels in {labelFiles}, which may belong to other sensors.',
    },
    'nothing-to-compare': {
      state: 'undecided',
      text: 'The serial number of the {sensor} stands in {files} alone ({serial}).',
    },
    unread: {
      state: 'undecided',
      text: 'The {sensor} was replaced ("{operation}"); its serial number may stand in {files}, which could not be read, recognised or tied to that sensor.',
    },
    'not-applicable': {
      state: 'undecided',
      text: 'No file states a sensor serial number, and no sensor is said to be replaced.',
    },
  },
  parameters: {
    leastCharacters: 'How many last characters of a serial number must agree where only a part of it was typed in.',
  },
  remedy:
    'Compare the label on the fitted sensor with the number in the calibration record; where they differ, calibrate the sensor that is fitted.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'having calibrated another sensor than the one fitted',
    shop: 'a part that cannot be shown to be the one charged',
  },
  collect: [
    {
      step: 'repair',
      per: 'replaced-sensor',
      text: 'A photograph of the label of the new {subject}, with its serial and part number, before it is covered',
    },
  ],
  run(packet, parameters) {
    const least = numberParameter(parameters, 'leastCharacters')
    const groups = groupBySensor(collectSerials(packet))
    const labels = collectLabels(packet)
    const outcomes = [
      ...groups.map((group) => judgeGroup(group, groups, labels, least)),
      ...collectReplaced(packet)
        .filter((one) => !groups.some((group) => covers(group, one)))
        .flatMap((one) => describeUnrecorded(packet, one, labels)),
    ]
    if (outcomes.length > 0) return outcomes
    return [{ state: 'undecided', message: 'not-applicable', data: {}, evidence: [] }]
  },
}

type Group = readonly [SerialStatement, ...SerialStatement[]]

function covers([first]: Group, replaced: ReplacedSensor): boolean {
  if (first.sensor !== replaced.sensor) return false
  return agreesInPosition(first.position, replaced.position)
}

type Agreement = 'same' | 'short' | 'different'

/** A part that was typed in is the end of the number. */
function compareSerials(a: string, b: string, least: number): Agreement {
  const [short, long] = [normaliseSerial(a), normaliseSerial(b)].sort((x, y) => x.length - y.length) as [string, string]
  if (short === long) return 'same'
  if (!long.endsWith(short)) return 'different'
  return short.length >= least ? 'same' : 'short'
}

function judgeGroup(group: Group, groups: readonly Group[], labels: readonly Label[], least: number): Outcome {
  const reference = chooseReference(group)
  const sensor = nameSensor(reference.sensor, reference.position)
  const { serial, file } = reference
  const others = group.filter((statement) => statement !== reference)
  for (const agreement of ['different', 'short'] as const) {
    const odd = others.find((other) => compareSerials(serial, other.serial, least) === agreement)
    if (odd === undefined) continue
    const evidence = [...reference.evidence, ...odd.evidence]
    if (agreement === 'different') {
      const data = { sensor, serial, file, other: odd.serial, otherFile: odd.file }
      return { state: 'unmet', message: 'differs', data, evidence }
    }
    const data = { sensor, serial: odd.serial, file: odd.file, other: serial, otherFile: file }
    return { state: 'undecided', message: 'too-short', data, evidence }
  }
  const label = judgeLabels(reference, sensor, groups, labels, least)
  if (label.outcome) return label.outcome
  const files = [...new Set([...group.map((statement) => statement.file), ...label.files])]
  const evidence = [...group.flatMap((statement) => statement.evidence), ...label.evidence]
  const data = { sensor, serial, files }
  if (files.length === 1) return { state: 'undecided', message: 'nothing-to-compare', data, evidence }
  return { state: 'met', message: 'agrees', data, evidence }
}

/** The longest number of a calibration record; of a bill where no record states one. */
function chooseReference(group: Group): SerialStatement {
  return group.reduce((best, statement) => {
    if (statement.inRecord !== best.inRecord) return statement.inRecord ? statement : best
    return normaliseSerial(statement.serial).length > normaliseSerial(best.serial).length ? statement : best
  })
}

interface LabelAnswer {
  /** Set when the labels speak against the number, or leave it open. */
  outcome: Outcome | null
  files: string[]
  evidence: Label['evidence']
}

function judgeLabels(
  reference: SerialStatement,
  sensor: string,
  groups: readonly Group[],
  labels: readonly Label[],
  least: number,
): LabelAnswer {
  const { serial, file } = reference
  const matching = labels.filter((label) => bears(label, serial, least))
  if (matching.length > 0) {
    const evidence = matching.flatMap((label) => label.evidence)
    return { outcome: null, files: matching.map((label) => label.file), evidence }
  }
  const serials = groups.flatMap((group) => group.map((statement) => statement.serial))
  // A code on a paper may be of anything: only a photographed label speaks against a number.
  const unclaimed = labels.filter((label) => label.isPhoto && !serials.some((one) => bears(label, one, least)))
  const [only] = unclaimed
  if (only === undefined) return { outcome: null, files: [], evidence: [] }
  const evidence = [...reference.evidence, ...unclaimed.flatMap((label) => label.evidence)]
  const unlabelled = groups.filter(
    (group) => !group.some((one) => labels.some((label) => bears(label, one.serial, least))),
  )
  // A label can be laid beside a number only where both are the last ones left.
  if (unclaimed.length === 1 && unlabelled.length === 1 && holdsSerialLike(only, serial)) {
    const data = { sensor, serial, file, otherFile: only.file, labels: only.texts }
    return { outcome: { state: 'unmet', message: 'label-differs', data, evidence }, files: [], evidence: [] }
  }
  const data = { sensor, serial, file, labelFiles: unclaimed.map((label) => label.file) }
  return { outcome: { state: 'undecided', message: 'label-unclear', data, evidence }, files: [], evidence: [] }
}

/** Characters of a number that is sought inside a longer code. */
const leastWhole = 6

/** True when one of the label's codes is the number, ends with it, holds it as one of its fields, or holds the end of it. */
function bears(label: Label, serial: string, least: number): boolean {
  return label.texts.some((text) => {
    const fields = [text, ...text.split(/[^A-Za-z0-9]+/)].filter((field) => normaliseSerial(field).length >= 4)
    const bare = normaliseSerial(serial)
    if (bare.length >= leastWhole && normaliseSerial(text).includes(bare)) return true
    if (!label.isPhoto) return false
    return fields.some((field) => compareSerials(field, serial, least) === 'same')
  })
}

/** True when a code of the label is long enough to be the serial number that was recorded in whole or in part. */
function holdsSerialLike(label: Label, serial: string): boolean {
  return label.texts.some((text) => /\d/.test(text) && normaliseSerial(text).length >= normaliseSerial(serial).length)
}

function describeUnrecorded(packet: Packet, replaced: ReplacedSensor, labels: readonly Label[]): Outcome[] {
  const sensor = nameSensor(replaced.sensor, replaced.position)
  const data = { sensor, operation: replaced.text }
  const unread = findPossibleRecords(packet, ['calibration', 'invoice']).map((document) => document.file)
  const open = [...unread, ...labels.filter(({ isPhoto }) => isPhoto).map((label) => label.file)]
  if (open.length === 0) return [{ state: 'unmet', message: 'none-recorded', data, evidence: replaced.evidence }]
  const evidence = [...replaced.evidence, ...open.map((file) => ({ file, text: '' }))]
  return [{ state: 'undecided', message: 'unread', data: { ...data, files: open }, evidence }]
}
