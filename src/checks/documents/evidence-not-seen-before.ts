/**
 * Files of the packet that an archive knows from another vehicle's packet: byte for byte, as a report whose values are the
 * same though its heading is another, as a picture saved again, as one drive under other dates.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { ArchiveAnswer, Packet, SeenBefore } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { findPlaces } from '../places.ts'
import { type Judgement, judgeMatch, judgements, relate, type SeenLimits } from './seen-before.ts'

export const evidenceNotSeenBefore: Check = {
  id: 'evidence-not-seen-before',
  group: 'documents',
  claim: "No file of the packet stands in another vehicle's packet, as it is or copied.",
  messages: {
    'not-seen': {
      state: 'met',
      text: "{files} files were compared with {packets} packets of {archive}; none stands in another vehicle's.",
    },
    'own-earlier': {
      state: 'met',
      text: '{files} stand in {others} too, which are of the same vehicle; no file was found in a packet of another.',
    },
    'same-file': {
      state: 'unmet',
      text: '{file} is byte for byte {otherFile} of {other}, which is of another vehicle ({otherVin}).',
    },
    'same-report': {
      state: 'unmet',
      text: '{file} says what {otherFile} of {other} says of another vehicle ({otherVin}): {same}; nothing that was measured differs.',
    },
    'near-report': {
      state: 'unmet',
      text: '{file} says nearly what {otherFile} of {other} says of another vehicle ({otherVin}): {same}; {percent} % of its values stand there too.',
    },
    'same-shot': {
      state: 'unmet',
      text: '{file} is the picture {otherFile} of {other}, which is of another vehicle ({otherVin}): they differ by {levels} of 256 levels of grey and were taken in the same second.',
    },
    'same-picture': {
      state: 'unmet',
      text: '{file} looks like {otherFile} of {other}, which is of another vehicle ({otherVin}), saved again: they differ by {levels} of 256 levels of grey.',
    },
    'same-drive': {
      state: 'unmet',
      text: '{file} is the drive of {otherFile} of {other}, which is of another vehicle ({otherVin}): over {seconds} s of driving the speeds agree to {speed} m/s.',
    },
    'same-paper': {
      state: 'unmet',
      text: '{file} is byte for byte {otherFile} of {other}, which is of another vehicle ({otherVin}), and does not name this one.',
    },
    'names-this-vehicle': {
      state: 'unmet',
      text: '{file} names this vehicle and stands in {other} too, which is of another ({otherVin}): one of the packets holds it wrongly.',
    },
    'vehicle-unclear': {
      state: 'undecided',
      text: '{file} stands in {other} too ({otherFile}); whether that is of another vehicle cannot be told.',
    },
    'other-moment': {
      state: 'undecided',
      text: '{file} looks like {otherFile} of {other}, which is of another vehicle ({otherVin}), though their cameras give different times; screens and labels look alike, so a person must compare them.',
    },
    'kept-for-many': {
      state: 'undecided',
      text: '{file} stands in packets of {vehicles} other vehicles and carries no data of a camera: it may be a picture that is kept for every job.',
    },
    'nothing-to-compare': {
      state: 'undecided',
      text: 'There is nothing to compare: {archive} holds {packets} other packets.',
    },
    'not-asked': { state: 'undecided', text: 'No archive was asked what it has seen before.' },
  },
  parameters: {
    mostLevels: 'By how many of 256 levels of grey two pictures may differ where both are the same, saved again.',
    leastShare: 'Which share of the values of two reports must be the same for a copy, 0 to 1.',
    leastBits: 'How much must agree of what hardly comes out the same twice for a near copy, in bits.',
    sureBits: 'How much must agree, and nothing measured differ, for a copy, in bits.',
    leastCorrelation:
      "How closely the speeds of one drive follow another's for them to be the same drive (Pearson's coefficient).",
    mostSpeedDifference: 'By how much the speeds of one drive may differ, root mean square, in metres a second.',
    mostDegrees: 'By how much the bearings of one drive may differ, median, in degrees.',
    manyVehicles:
      'From how many other vehicles on a picture without data of a camera is taken for one that is kept for every job.',
  },
  remedy: "The instrument's or the camera's own stored originals of both jobs, with their times.",
  suppliers: ['shop', 'calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: {
    shop: "records that cannot be shown to be this vehicle's",
    calibrator: "records that cannot be shown to be this vehicle's",
    insurer: 'paying for work that was done on another vehicle',
  },
  collect: [],
  run(packet, parameters) {
    const { archive } = packet
    if (archive === undefined) return [{ state: 'undecided', message: 'not-asked', data: {}, evidence: [] }]
    const judged = judgeFiles(packet, archive, readLimits(parameters))
    const unmet = judged.filter(({ judgement }) => evidenceNotSeenBefore.messages[judgement]?.state === 'unmet')
    if (unmet.length > 0) return unmet.map((one) => tell(one))
    const undecided = judged.filter(({ judgement }) => judgement !== 'own-earlier')
    if (undecided.length > 0) return undecided.map((one) => tell(one))
    return [concludeMet(packet, archive, judged)]
  },
}

const readLimits = (parameters: Parameters): SeenLimits => ({
  mostLevels: numberParameter(parameters, 'mostLevels'),
  leastShare: numberParameter(parameters, 'leastShare'),
  leastBits: numberParameter(parameters, 'leastBits'),
  sureBits: numberParameter(parameters, 'sureBits'),
  leastCorrelation: numberParameter(parameters, 'leastCorrelation'),
  mostSpeedDifference: numberParameter(parameters, 'mostSpeedDifference'),
  mostDegrees: numberParameter(parameters, 'mostDegrees'),
  manyVehicles: numberParameter(parameters, 'manyVehicles'),
})

interface Judged {
  document: DocumentFacts
  match: SeenBefore
  judgement: Judgement
  vehicles: number
}

/** The gravest of what is found of each file. */
function judgeFiles(packet: Packet, { seen }: ArchiveAnswer, limits: SeenLimits): Judged[] {
  return packet.documents.flatMap((document) => {
    const matches = seen.filter(({ file }) => file === document.file)
    const vehicles = countVehicles(packet, matches)
    const judged = matches.flatMap((match): Judged[] => {
      const judgement = judgeMatch(packet, document, match, limits, vehicles)
      return judgement === null ? [] : [{ document, match, judgement, vehicles }]
    })
    return judged.sort((a, b) => judgements.indexOf(a.judgement) - judgements.indexOf(b.judgement)).slice(0, 1)
  })
}

function countVehicles(packet: Packet, matches: readonly SeenBefore[]): number {
  const others = matches.filter(({ what, other }) => what === 'file' && relate(packet, other) === 'other')
  return new Set(others.map(({ other }) => other.vin)).size
}

function tell({ document, match, judgement, vehicles }: Judged): Outcome {
  const { other, otherFile, measure = 0, marks, drive } = match
  const data = {
    file: document.file,
    other: other.accession,
    otherFile,
    otherVin: other.vin,
    same: (marks?.names ?? []).slice(0, 6).map(nameMark),
    percent: Math.round(measure * 100),
    levels: Math.round(measure * 10) / 10,
    seconds: drive?.movingSeconds ?? 0,
    speed: Math.round((drive?.metresPerSecond ?? 0) * 100) / 100,
    vehicles,
  }
  const state = evidenceNotSeenBefore.messages[judgement]?.state ?? 'undecided'
  return { state, message: judgement, data, evidence: placesOf(document, match) }
}

/** `calibration.0.2 camera yaw` is camera yaw. */
const nameMark = (name: string): string =>
  name.includes(' ') ? name.slice(name.indexOf(' ') + 1) : name.replace(/\.\d+\./, ' ').replaceAll('-', ' ')

/** Where the report says what is the same, as far as that was noted. */
function placesOf(document: DocumentFacts, { marks }: SeenBefore) {
  const stated = (marks?.names ?? []).slice(0, 6).flatMap((name) => {
    const path =
      { time: 'date', volts: 'batteryVolts' }[name] ?? name.replace(/^calibration\.(\d+).*/, 'calibrations.$1')
    return path in document.evidence ? findPlaces(document, path) : []
  })
  return stated.length > 0 ? stated : [{ file: document.file, text: '' }]
}

function concludeMet({ documents }: Packet, { archive, packets }: ArchiveAnswer, judged: readonly Judged[]): Outcome {
  const compared = documents.filter(({ sha256 }) => sha256 !== '')
  const data = { archive, packets, files: compared.length }
  if (packets === 0 || compared.length === 0)
    return { state: 'undecided', message: 'nothing-to-compare', data, evidence: [] }
  if (judged.length === 0)
    return { state: 'met', message: 'not-seen', data, evidence: compared.map(({ file }) => ({ file, text: '' })) }
  const files = judged.map(({ document }) => document.file)
  const others = [...new Set(judged.map(({ match }) => match.other.accession))].sort()
  return {
    state: 'met',
    message: 'own-earlier',
    data: { files, others },
    evidence: files.map((file) => ({ file, text: '' })),
  }
}
