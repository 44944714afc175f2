/**
 * What each photo's file tells of how it came about: camera data, marks of other programs, the camera's small copy. None of
 * this shows what was changed or why: services that send pictures save them again and take camera data away.
 */
import type { DocumentFacts, PictureSize } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, DataValue, Outcome } from '../check.ts'
import { listParameter, numberParameter, type Parameters } from '../parameters.ts'
import { findPlaces } from '../places.ts'
import { measureReach } from '../unread.ts'

export const photoOriginal: Check = {
  id: 'photo-original',
  group: 'documents',
  claim: 'The photos are the files that a camera wrote, as far as they tell.',
  messages: {
    original: {
      state: 'met',
      text: '{photos} photos carry camera data and no mark of another program: {files}.',
    },
    edited: { state: 'unmet', text: '{file} carries the mark of a program that works on pictures: {marks}.' },
    'no-camera-data': {
      state: 'unmet',
      text: '{files} carry no camera data, as pictures do not after a messaging service or an editor, nor do saved screens.',
    },
    screen: { state: 'unmet', text: '{file} says of itself that it is a saved screen ({text}), not a photo of one.' },
    'thumbnail-differs': {
      state: 'unmet',
      text: '{file} shows something else than the small copy that its camera wrote into it: they differ by {levels} of 256 levels of grey. A picture that was cut or changed keeps the old copy in some programs.',
    },
    cut: {
      state: 'unmet',
      text: '{file} is {size} pixels large, of another shape than the {stated} that its camera wrote: it was cut afterwards.',
    },
    'saved-again': {
      state: 'undecided',
      text: '{file} is {size} pixels large, and its camera wrote {stated}: it was saved again at another size, as mail programs do. Whether anything else was changed cannot be told.',
    },
    'other-tables': {
      state: 'undecided',
      text: '{file} was compressed with the standard tables at quality {quality}, the {others} other photos of the {camera} with tables of their own that are all alike: another program may have saved it.',
    },
    'not-read': { state: 'undecided', text: '{files} could not be read for camera data.' },
    'no-photo': { state: 'undecided', text: 'The packet holds no photo.' },
  },
  parameters: {
    marks: 'Kinds of marks that tell of a program that works on pictures.',
    mostLevels: "By how many of 256 levels of grey a picture may differ from its camera's small copy.",
    leastAlike: 'Photos of one camera that have to agree in their tables before one that differs is told.',
    mostStretch: 'By which part of it the shape of a picture may differ from the one that its camera wrote.',
  },
  remedy: 'The file as the camera saved it, copied from the camera or phone itself, or word of how it was sent.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'photos that show less than they seem to',
    insurer: 'paying on photos that may have been changed',
  },
  collect: [
    { step: 'papers', per: 'job', text: 'The photos as the camera saved them, copied and not sent as messages' },
  ],
  run(packet, parameters) {
    const photos = packet.documents.filter(({ kind, media }) => kind === 'photo' && media.startsWith('image/'))
    if (photos.length === 0) return [{ state: 'undecided', message: 'no-photo', data: {}, evidence: [] }]
    const unread = photos.filter((photo) => photo.photo?.cameraData === undefined || measureReach(photo) === 'closed')
    const read = photos.filter((photo) => !unread.includes(photo))
    const bare = read.filter((photo) => photo.photo?.cameraData === false && !isScreen(photo))
    const told = read.flatMap((photo) => tell(packet, photo, parameters))
    const doubtful = new Set([...bare.map(({ file }) => file), ...told.map(({ data }) => data.file)])
    const sound = read.filter(({ file }) => !doubtful.has(file))
    return [
      ...(sound.length > 0 ? [together('met', 'original', sound)] : []),
      ...(bare.length > 0 ? [together('unmet', 'no-camera-data', bare)] : []),
      ...told,
      ...(unread.length > 0 ? [together('undecided', 'not-read', unread)] : []),
    ]
  },
}

function together(state: Outcome['state'], message: string, photos: readonly DocumentFacts[]): Outcome {
  const files = photos.map(({ file }) => file)
  const evidence = files.map((file) => ({ file, text: '' }))
  return { state, message, data: message === 'original' ? { photos: photos.length, files } : { files }, evidence }
}

const isScreen = ({ photo }: DocumentFacts): boolean => photo?.subject?.shows === 'screen'

/** What is told of one photo by itself. */
function tell(packet: Packet, document: DocumentFacts, parameters: Parameters): Outcome[] {
  const outcome = (state: Outcome['state'], message: string, data: Record<string, DataValue>): Outcome => {
    return { state, message, data: { file: document.file, ...data }, evidence: [{ file: document.file, text: '' }] }
  }
  const { subject, thumbnail } = document.photo ?? {}
  const outcomes = tellMarks(document, listParameter(parameters, 'marks'))
  if (subject !== undefined && isScreen(document)) outcomes.push(outcome('unmet', 'screen', { text: subject.text }))
  const levels = thumbnail?.levels ?? null
  if (levels !== null && levels > numberParameter(parameters, 'mostLevels'))
    outcomes.push(outcome('unmet', 'thumbnail-differs', { levels: Math.round(levels * 10) / 10 }))
  const resized = tellSize(document, numberParameter(parameters, 'mostStretch'))
  if (resized !== null)
    outcomes.push(outcome(resized.message === 'cut' ? 'unmet' : 'undecided', resized.message, resized.data))
  const odd = tellTables(packet, document, numberParameter(parameters, 'leastAlike'))
  if (odd !== null) outcomes.push(outcome('undecided', 'other-tables', odd))
  return outcomes
}

function tellMarks(document: DocumentFacts, kinds: readonly string[]): Outcome[] {
  const marks = (document.photo?.marks ?? []).map((mark, index) => ({ ...mark, index }))
  const counted = marks.filter(({ kind }) => kinds.includes(kind))
  if (counted.length === 0) return []
  const evidence = counted.flatMap(({ index }) => findPlaces(document, `photo.marks.${index}`))
  const data = { file: document.file, marks: counted.map(({ text }) => text) }
  return [{ state: 'unmet', message: 'edited', data, evidence }]
}

const inWords = ({ width, height }: PictureSize): string => `${width} × ${height}`

/** Programs that turn a picture upright swap its sides, and some leave the sides that the camera wrote. */
function tellSize({ photo }: DocumentFacts, mostStretch: number) {
  const { size, statedSize: stated } = photo ?? {}
  if (size === undefined || stated === undefined) return null
  const sides = ({ width, height }: PictureSize) => [Math.max(width, height), Math.min(width, height)] as const
  const [[long, short], [statedLong, statedShort]] = [sides(size), sides(stated)]
  if (long === statedLong && short === statedShort) return null
  const stretch = (long * statedShort) / (short * statedLong)
  const data = { size: inWords(size), stated: inWords(stated) }
  return { message: Math.abs(stretch - 1) > mostStretch ? 'cut' : 'saved-again', data } as const
}

/** Cameras have tables of their own, one for each quality that can be set; only where all others agree is one odd. */
function tellTables({ documents }: Packet, { file, photo }: DocumentFacts, leastAlike: number) {
  const { camera, quantisation } = photo ?? {}
  if (camera === undefined || quantisation === undefined || quantisation.quality === null) return null
  const others = documents.filter((other) => other.file !== file && other.photo?.camera === camera)
  const tables = others.map((other) => other.photo?.quantisation)
  const marks = new Set(tables.map((table) => table?.mark))
  const alike = marks.size === 1 && tables.every((table) => table !== undefined && table.quality === null)
  if (!alike || others.length < leastAlike) return null
  return { quality: quantisation.quality, others: others.length, camera }
}
