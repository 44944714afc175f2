import type { DocumentFacts, DocumentKind } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { wasRead } from '../unread.ts'

const records: readonly DocumentKind[] = ['pre-scan', 'post-scan', 'scan', 'calibration', 'alignment']
const papers: readonly DocumentKind[] = ['invoice', 'estimate', 'drive-log']

export const vinPresent: Check = {
  id: 'vin-present',
  group: 'identity',
  claim: 'Every record of the work says which vehicle it is about.',
  messages: {
    present: { state: 'met', text: 'Each of {files} shows a VIN or a part of it.' },
    'record-without': {
      state: 'unmet',
      text: '{file}, a {kind} record, shows no VIN, so nothing ties it to this vehicle.',
    },
    'paper-without': { state: 'unmet', text: '{file}, a {kind}, shows no VIN.' },
    unread: { state: 'undecided', text: 'No VIN was found in {file}, but not all of the file could be read.' },
    'no-records': {
      state: 'undecided',
      text: 'The packet holds no scan, calibration, alignment or drive record, estimate or invoice.',
    },
  },
  parameters: {},
  remedy:
    'Have the record printed again with the VIN, or show by its instrument, time and codes that it is of this vehicle.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'a record that can be of any vehicle',
    calibrator: 'work that cannot be tied to this vehicle',
  },
  collect: [{ step: 'papers', per: 'job', text: 'The VIN on every scan, calibration and alignment record' }],
  run(packet) {
    const asked = packet.documents.filter(
      (document) => records.includes(document.kind) || (papers.includes(document.kind) && hasPlace(packet, document)),
    )
    if (asked.length === 0) {
      const evidence = packet.documents.map((document) => ({ file: document.file, text: '' }))
      return [{ state: 'undecided', message: 'no-records', data: {}, evidence }]
    }
    const without = asked.filter((document) => !showsVin(document))
    if (without.length > 0) return without.map(describeLack)
    const evidence = asked.flatMap((document) => findPlaces(document, 'vin', document.vin))
    return [{ state: 'met', message: 'present', data: { files: asked.map((document) => document.file) }, evidence }]
  },
}

/** NMEA 0183 has no sentence for a VIN, GPX 1.1 no element, and a bare table of samples has no head. */
const placeless: readonly string[] = ['text/x-nmea', 'application/gpx+xml']

/** Could the file show a VIN? A log that is nothing but samples could not. */
function hasPlace({ content }: Packet, { kind, media, file }: DocumentFacts): boolean {
  if (kind !== 'drive-log') return true
  const track = content[file]?.track
  return !placeless.includes(media) && (track == null || Object.keys(track.header).length > 0)
}

function showsVin(document: DocumentFacts): boolean {
  return document.vin !== undefined || (document.vins ?? []).length > 0
}

function describeLack(document: DocumentFacts): Outcome {
  const { file, kind } = document
  const evidence = [{ file, text: '' }]
  if (!wasRead(document)) return { state: 'undecided', message: 'unread', data: { file }, evidence }
  const message = records.includes(kind) ? 'record-without' : 'paper-without'
  return { state: 'unmet', message, data: { file, kind: kind.replace('-', ' ') }, evidence }
}
