/** What a photo tells: when and where it was taken, and what stands in the bar codes on it. */
import type { DocumentFacts } from '../document.ts'
import { instantBounds } from '../instant.ts'
import type { Barcode, Place, Reading } from '../reading.ts'
import { vinIn } from '../vin.ts'

export function readPhoto(reading: Reading, facts: DocumentFacts): void {
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
  if (picture.likeness) facts.photo.likeness = picture.likeness
  if (barcodes) readBarcodes(barcodes, facts.photo, facts)
}

const placeOf = ({ page, box, text }: Barcode): Place => ({ page, box, text })

function readBarcodes(barcodes: readonly Barcode[], photo: NonNullable<DocumentFacts['photo']>, facts: DocumentFacts) {
  photo.barcodes = barcodes.map(({ symbology, text }) => ({ symbology, text }))
  if (barcodes.length > 0) facts.evidence['photo.barcodes'] = barcodes.map(placeOf)
  const byVin = Map.groupBy(barcodes, ({ text }) => vinIn(text))
  byVin.delete(null)
  const vins = [...byVin].flatMap(([value, own]) => (value === null ? [] : [{ value, evidence: own.map(placeOf) }]))
  if (vins.length === 0) return
  facts.vins = vins
  const [only, ...others] = vins
  // Labels of two vehicles on one picture: which of them it is of, nobody can say.
  if (only === undefined || others.length > 0) return
  facts.vin = only.value
  facts.evidence.vin = only.evidence
}
