/**
 * A technician or an instrument that an archive has at work on another vehicle at the same time. Only stretches of work
 * that are certain count: with a zone, and whatever the clocks may be off.
 */
import { secondsBetween } from '../../facts/instant.ts'
import type { Packet, SharedTime } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { relate } from './seen-before.ts'

export const peopleInOnePlace: Check = {
  id: 'people-in-one-place',
  group: 'documents',
  claim: 'No technician and no instrument of the packet is at work on another vehicle at the same time.',
  messages: {
    apart: {
      state: 'met',
      text: '{stretches} stretches of work were compared with {packets} packets of {archive}: nobody is in two places.',
    },
    'instrument-in-two': {
      state: 'unmet',
      text: 'The instrument {name} is at work on {label} ({file}) and, by {otherFile} of {other}, on {otherLabel} of another vehicle ({otherVin}), both from {from} to {to} at least.',
    },
    'person-in-two': {
      state: 'unmet',
      text: '{name} is at work on {label} ({file}) and, by {otherFile} of {other}, on {otherLabel} of another vehicle ({otherVin}), both from {from} to {to} at least.',
    },
    'one-name': {
      state: 'undecided',
      text: '{name} is at work in {other} at the same time; whether that is the same person cannot be told.',
    },
    'vehicle-unclear': {
      state: 'undecided',
      text: '{name} is at work in {other} at the same time; whether that is of another vehicle cannot be told.',
    },
    'nothing-certain': {
      state: 'undecided',
      text: 'No stretch of work by a named technician or instrument is certain enough to compare: that wants start, end and zone.',
    },
    'nothing-to-compare': { state: 'undecided', text: '{archive} holds no other packet to compare with.' },
    'not-asked': { state: 'undecided', text: 'No archive was asked who was at work elsewhere.' },
  },
  parameters: {
    briefSeconds: 'An overlap up to this is brief: a session opened early or closed late, in seconds.',
  },
  remedy: "The instrument's own stored sessions of both jobs, or word of who else took part in them.",
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'records of which at most one can be true as it stands',
    insurer: 'paying for work that cannot have been done as stated',
  },
  collect: [],
  run(packet, parameters) {
    const { archive } = packet
    const nobody = (message: string, data: Outcome['data'] = {}): Outcome[] => [
      { state: 'undecided', message, data, evidence: [] },
    ]
    if (archive === undefined) return nobody('not-asked')
    if (archive.packets === 0) return nobody('nothing-to-compare', { archive: archive.archive })
    if (archive.engagements === 0) return nobody('nothing-certain')
    const brief = numberParameter(parameters, 'briefSeconds')
    const long = archive.elsewhere.filter(({ from, to }) => secondsBetween(from, to) > brief)
    const found = long.flatMap((shared) => judge(packet, shared))
    const unmet = found.filter(({ state }) => state === 'unmet')
    if (unmet.length > 0) return unmet
    if (found.length > 0) return found
    const data = { stretches: archive.engagements, packets: archive.packets, archive: archive.archive }
    return [{ state: 'met', message: 'apart', data, evidence: placesOfWork(packet) }]
  },
}

function judge(packet: Packet, shared: SharedTime): Outcome[] {
  const relation = relate(packet, shared.other)
  if (relation === 'same') return []
  const message =
    relation === 'unclear'
      ? 'vehicle-unclear'
      : shared.who === 'instrument'
        ? 'instrument-in-two'
        : shared.isOnePerson
          ? 'person-in-two'
          : 'one-name'
  const { name, file, label, other, otherFile, otherLabel, from, to } = shared
  const data = { name, file, label, other: other.accession, otherVin: other.vin, otherFile, otherLabel, from, to }
  const event = packet.events.find((one) => one.file === file && one.label === label)
  const evidence = event === undefined || event.evidence.length === 0 ? [{ file, text: '' }] : event.evidence
  const state = message === 'instrument-in-two' || message === 'person-in-two' ? 'unmet' : 'undecided'
  return [{ state, message, data, evidence }]
}

const placesOfWork = ({ events }: Packet) => {
  const files = events.flatMap(({ document, file }) => (document === null ? [] : [file]))
  return [...new Set(files)].map((file) => ({ file, text: '' }))
}
