/** The VIN that stands on the vehicle, as photos of its label show it, against the VIN of the papers. */
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces } from '../places.ts'
import {
  collectVins,
  fewCharacters,
  listPositions,
  type VinSide,
  type VinStatement,
  weighVins,
} from './vin-readings.ts'

export const vinSeenOnVehicle: Check = {
  id: 'vin-seen-on-vehicle',
  group: 'identity',
  claim: 'The VIN on a photographed label of the vehicle is the one that the papers show.',
  messages: {
    seen: { state: 'met', text: 'The label in {files} reads {vin}, the VIN of the papers.' },
    differs: {
      state: 'unmet',
      text: 'The label in {files} reads the VIN {value}, and the papers show {vin} ({others}): they differ at positions {positions}.',
    },
    'another-vehicle': {
      state: 'unmet',
      text: 'The label in {files} reads the VIN {value}, another vehicle than {vin} of the papers ({others}): {differing} of 17 characters differ.',
    },
    'no-photo': { state: 'unmet', text: 'No file is a photo, so nothing shows the VIN on the vehicle itself.' },
    'nothing-to-compare': {
      state: 'undecided',
      text: 'The label in {files} reads {values}, and no other file shows a full VIN.',
    },
    'not-found': {
      state: 'undecided',
      text: 'No bar code with a VIN was found in {files}. A number that is only printed there is not read.',
    },
    'not-looked-at': {
      state: 'undecided',
      text: '{files} could not be looked at, and nothing else shows the VIN on the vehicle.',
    },
  },
  parameters: {},
  remedy: 'A photo of the VIN label or plate on the vehicle, with its bar code whole and sharp.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    calibrator: 'work recorded for another vehicle',
    insurer: 'paying for another vehicle',
  },
  collect: [
    {
      step: 'intake',
      per: 'job',
      text: 'The label with the VIN on the vehicle, photographed with its bar code whole and sharp',
    },
  ],
  run(packet) {
    const full = collectVins(packet).filter(({ value }) => value.length === 17)
    const labels = full.filter(({ isSeen }) => isSeen)
    if (labels.length === 0) return [describeUnseen(packet)]
    const papers = full.filter(({ isSeen }) => !isSeen)
    if (papers.length === 0) return [describeAlone(labels)]
    const { reference, sides } = weighVins(papers)
    return weighVins(labels).sides.map((label) => judge(label, reference, sides))
  },
}

function judge(label: VinSide, reference: VinSide, sides: readonly VinSide[]): Outcome {
  const files = label.statements.map(({ file }) => file)
  // Papers that disagree among themselves are told of by `vin-agrees`; measured by the wrong half, the label would be blamed.
  const side = sides.find(({ vin }) => vin === label.vin) ?? reference
  const evidence = distinctPlaces([...label.statements, ...side.statements].flatMap((statement) => statement.evidence))
  if (side.vin === label.vin) return { state: 'met', message: 'seen', data: { files, vin: label.vin }, evidence }
  const others = side.statements.map(({ file }) => file)
  const positions = listPositions(side.vin, label.vin)
  const common = { files, value: label.vin, vin: side.vin, others }
  return positions.length > fewCharacters
    ? { state: 'unmet', message: 'another-vehicle', data: { ...common, differing: positions.length }, evidence }
    : { state: 'unmet', message: 'differs', data: { ...common, positions }, evidence }
}

function describeAlone(labels: readonly VinStatement[]): Outcome {
  const [files, values] = [labels.map(({ file }) => file), [...new Set(labels.map(({ value }) => value))]]
  const evidence = labels.flatMap((label) => label.evidence)
  return { state: 'undecided', message: 'nothing-to-compare', data: { files, values }, evidence }
}

/** Why no label was read: a photo that nobody could look at leaves more open than one without a bar code. */
function describeUnseen({ documents }: Packet): Outcome {
  const photos = documents.filter(({ kind }) => kind === 'photo')
  const closed = photos.filter(({ photo, barcodes }) => (photo ? photo.barcodes : barcodes) === undefined)
  const told = closed.length > 0 ? closed : photos
  const files = told.map(({ file }) => file)
  const evidence = files.map((file) => ({ file, text: '' }))
  if (photos.length === 0) {
    const all = documents.map(({ file }) => ({ file, text: '' }))
    return { state: 'unmet', message: 'no-photo', data: {}, evidence: all }
  }
  return { state: 'undecided', message: closed.length > 0 ? 'not-looked-at' : 'not-found', data: { files }, evidence }
}
