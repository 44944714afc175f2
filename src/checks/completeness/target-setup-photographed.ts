/**
 * A photo of the targets before the vehicle, for a calibration at a standstill. What a photo shows is told by packet.yaml,
 * its name or its caption alone: an unnamed one leaves the question open, and none at all answers it.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import { calibrationRecords, finalAttempt, isMention, placesOfRecord } from '../calibrations.ts'
import type { Check, DataValue, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { findPhotographs, listFiles, measureReach, placeFiles } from '../unread.ts'

export const targetSetupPhotographed: Check = {
  id: 'target-setup-photographed',
  group: 'completeness',
  claim: 'The set-up of the targets was photographed for the calibrations at a standstill.',
  messages: {
    photographed: {
      state: 'met',
      text: '{files} show the targets, by {told}; calibrated at a standstill: {calibrations}.',
    },
    'no-photo': { state: 'unmet', text: 'The packet holds no photo, and so none of the targets for {calibrations}.' },
    'others-only': {
      state: 'unmet',
      text: 'The photos show something else by their names, captions or bar codes ({files}), and none the targets for {calibrations}.',
    },
    'cannot-tell': {
      state: 'undecided',
      text: 'Whether {files} show the targets for {calibrations} cannot be told: neither name nor caption says what they show.',
    },
    'maybe-unread': {
      state: 'undecided',
      text: 'No photo shows the targets for {calibrations}, but pictures in {files} were not read.',
    },
    'nothing-at-standstill': {
      state: 'undecided',
      text: 'No file records a calibration with targets at a standstill.',
    },
  },
  parameters: { sensors: 'Sensors that are calibrated with targets where it is done at a standstill.' },
  remedy: 'A photo of the targets before the vehicle, as it stood for the calibration, in its original file.',
  suppliers: ['calibrator'],
  settledWith: 'vehicle',
  exposes: { calibrator: 'a set-up that nothing shows' },
  collect: [
    {
      step: 'static',
      per: 'calibration',
      text: 'A photo of the targets before the vehicle, with "target" in its name',
    },
  ],
  run(packet, parameters) {
    const sensors = listParameter(parameters, 'sensors')
    const all = calibrationRecords(packet)
    const own = all.filter((record) => {
      const { method, sensor } = record.reading
      const isPerformed = finalAttempt(record.reading).outcome !== 'not-performed'
      return method === 'static' && sensors.includes(sensor) && isPerformed && !isMention(record, all)
    })
    if (own.length === 0) return [{ state: 'undecided', message: 'nothing-at-standstill', data: {}, evidence: [] }]
    const calibrations = [...new Set(own.map(({ label }) => label))]
    const records = distinctPlaces(own.flatMap((record) => placesOfRecord(record, 'method')))
    const judge = (
      state: Outcome['state'],
      message: string,
      about: readonly DocumentFacts[],
      told: DataValue = '',
    ): Outcome => {
      const data = { files: listFiles(about), calibrations, ...(told === '' ? {} : { told }) }
      return { state, message, data, evidence: [...placeFiles(about), ...records] }
    }
    const photos = findPhotographs(packet)
    const shown = photos.filter(({ photo }) => photo?.subject?.shows === 'targets')
    if (shown.length > 0) return [judge('met', 'photographed', shown, describeSources(shown))]
    const open = photos.filter(({ photo }) => photo?.subject === undefined)
    if (open.length > 0) return [judge('undecided', 'cannot-tell', open)]
    const unread = packet.documents.filter((document) => document.kind !== 'photo' && mayHoldPictures(document))
    if (unread.length > 0) return [judge('undecided', 'maybe-unread', unread)]
    return [judge('unmet', photos.length > 0 ? 'others-only' : 'no-photo', photos)]
  },
}

/** A photo may be printed into a record whose pages are pictures, or lie in a file that nobody could open. */
const mayHoldPictures = (document: DocumentFacts): boolean => measureReach(document) !== 'whole'

/** "name", "caption", "packet.yaml", or several. */
function describeSources(photos: readonly DocumentFacts[]): string {
  const froms = photos.map(({ photo }) => photo?.subject?.from ?? 'name')
  const sources = new Set(froms.map((from) => (from === 'declared' ? 'packet.yaml' : from)))
  return [...sources].sort().reverse().join(' and ')
}
