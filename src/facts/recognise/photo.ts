/** What a photo tells: when and where it was taken, and what stands in the bar codes on it. */
import type { DocumentFacts, PhotoSubject } from '../document.ts'
import { instantBounds } from '../instant.ts'
import type { Barcode, Box, PictureFacts, PictureMark, PictureOrigin, Place, Reading } from '../reading.ts'
import { vinIn } from '../vin.ts'
import type { Vocabulary } from '../vocabulary.ts'
import { addVins } from './page-codes.ts'

export function readPhoto(reading: Reading, facts: DocumentFacts, vocabulary: Vocabulary): void {
  const { picture, barcodes } = reading
  if (!picture) return
  const taken = picture.taken
    ? {
        text: picture.taken,
        local: picture.taken.slice(0, 19),
        offset: picture.offset,
        ...instantBounds(picture.taken.slice(0, 19), picture.offset),
      }
    : null
  facts.photo = { taken, location: picture.location }
  if (picture.camera) facts.photo.camera = picture.camera
  if (picture.software) facts.photo.software = picture.software
  if (picture.origin) readOrigin(picture, picture.origin, facts, facts.photo, vocabulary)
  if (picture.likeness) facts.photo.likeness = picture.likeness
  if (picture.thumbnail) facts.photo.thumbnail = picture.thumbnail
  if (barcodes) readBarcodes(barcodes, facts.photo, facts)
  const subject = tellSubject(facts, facts.photo, vocabulary)
  if (subject) facts.photo.subject = subject
}

type Photo = NonNullable<DocumentFacts['photo']>

function readOrigin(
  picture: PictureFacts,
  origin: PictureOrigin,
  facts: DocumentFacts,
  photo: Photo,
  vocabulary: Vocabulary,
): void {
  photo.cameraData = origin.cameraData
  if (origin.lens) photo.lens = origin.lens
  if (origin.serial) photo.serial = origin.serial
  if (picture.widthPixels * picture.heightPixels > 0)
    photo.size = { width: picture.widthPixels, height: picture.heightPixels }
  if (origin.stated) photo.statedSize = origin.stated
  if (origin.quantisation) photo.quantisation = origin.quantisation
  if (origin.captions.length > 0) photo.captions = origin.captions
  const marks = marksOf(picture, origin, vocabulary)
  if (marks.length === 0) return
  photo.marks = marks
  for (const [index, { text }] of marks.entries())
    facts.evidence[`photo.marks.${index}`] = [{ page: 1, box: boxOf(picture), text }]
}

const boxOf = ({ widthPixels, heightPixels }: PictureFacts): Box => [0, 0, widthPixels, heightPixels]

/** The camera names its own software; a program that is named as an editor is none of a camera. */
function marksOf({ software, camera }: PictureFacts, { marks }: PictureOrigin, vocabulary: Vocabulary): PictureMark[] {
  const isEditor = (name: string) => keysIn(vocabulary, name).has('editor')
  const own = software !== null && isEditor(software) ? [{ kind: 'software' as const, text: software }] : []
  const others = marks.filter(({ kind, text }) => {
    if (kind !== 'creator-tool') return true
    // Cameras and phones give the version of their own software here too.
    const isOwn = text === software || /^[\d.]+$/.test(text) || (camera !== null && text.includes(camera))
    return isEditor(text) || !isOwn
  })
  return [...own, ...others]
}

function keysIn({ photos, tokens }: Vocabulary, text: string) {
  return new Set(photos.within(tokens(text)).flatMap(({ entries }) => entries.map(({ key }) => key)))
}

/** Words for targets count before others: "target behind VIN label" shows targets. */
function tellSubject({ file, vin }: DocumentFacts, photo: Photo, vocabulary: Vocabulary): PhotoSubject | null {
  const name = (file.split('/').at(-1) ?? '').replace(/\.[a-z0-9]+$/i, '').replace(/[_-]+/g, ' ')
  const told = [
    { from: 'name' as const, text: name },
    ...(photo.captions ?? []).map((text) => ({ from: 'caption' as const, text })),
  ]
  for (const shows of ['targets', 'screen', 'other'] as const) {
    const found = told.find(({ text }) => keysIn(vocabulary, text).has(shows))
    if (found) return { shows, ...found }
    if (shows === 'targets' && vin !== undefined) return { shows: 'other', from: 'bar-code', text: vin }
  }
  return null
}

const placeOf = ({ page, box, text }: Barcode): Place => ({ page, box, text })

function readBarcodes(barcodes: readonly Barcode[], photo: Photo, facts: DocumentFacts) {
  photo.barcodes = barcodes.map(({ symbology, text }) => ({ symbology, text }))
  if (barcodes.length > 0) facts.evidence['photo.barcodes'] = barcodes.map(placeOf)
  // A picture of a page: its words speak too.
  if (facts.kind !== 'photo') return addVins(barcodes, facts)
  const byVin = Map.groupBy(barcodes, ({ text }) => vinIn(text))
  byVin.delete(null)
  const vins = [...byVin].flatMap(([value, own]) => (value === null ? [] : [{ value, evidence: own.map(placeOf) }]))
  if (vins.length === 0) return
  // A bar code is surer than the letters beside it.
  facts.vins = vins
  delete facts.vin
  const [only, ...others] = vins
  // Labels of two vehicles on one picture: which of them it is of, nobody can say.
  if (only === undefined || others.length > 0) return
  facts.vin = only.value
  facts.evidence.vin = only.evidence
}
