/** Bar codes on the pages of a document: what they hold, and the vehicle's number among them beside that of its words. */
import type { DocumentFacts } from '../document.ts'
import { type Choice, tellChoices } from '../look-alikes.ts'
import type { Barcode, Place, Reading } from '../reading.ts'
import { checkDigitHolds, compareVins, vinIn } from '../vin.ts'

type VinWithPlaces = NonNullable<DocumentFacts['vins']>[number]

const placeOf = ({ page, box, text }: Barcode): Place => ({ page, box, text })

/**
 * Notes the bar codes of a file that is no picture; of one that shows photos, also that none was found. The words of the
 * file must have been read before.
 */
export function readPageCodes({ picture, barcodes }: Reading, facts: DocumentFacts): void {
  if (picture || barcodes === undefined || (barcodes.length === 0 && facts.kind !== 'photo')) return
  facts.barcodes = barcodes.map(({ symbology, text }) => ({ symbology, text }))
  for (const [index, code] of barcodes.entries()) facts.evidence[`barcodes.${index}`] = [placeOf(code)]
  addVins(barcodes, facts)
}

/**
 * A bar code that holds a VIN is one more reading of it: what a document shows to instruments and to people should be one
 * number. Other numbers may have 17 characters too, so that only those count whose check digit holds, or that the words
 * show as well.
 */
export function addVins(barcodes: readonly Barcode[], facts: DocumentFacts): void {
  const words = facts.vins ?? []
  const isRead = (vin: string) => words.some(({ value }) => value === vin)
  const found = [...Map.groupBy(barcodes, ({ text }) => vinIn(text))].flatMap(([vin, codes]) =>
    vin !== null && (checkDigitHolds(vin) || isRead(vin)) ? [{ value: vin, evidence: codes.map(placeOf) }] : [],
  )
  const [only, ...others] = found
  if (only === undefined) return
  const isMisread = ({ value }: { value: string }) =>
    facts.problems.some(({ code }) => code === 'read-from-picture') &&
    found.some((code) => compareVins(code.value, value).kind === 'look-alike')
  const kept = words.filter((word) => !isMisread(word))
  facts.problems.push(...tellChoices(chosenBy(found, words.filter(isMisread)), 'the bar code beside them'))
  const known = new Map(kept.map((word) => [word.value, word]))
  for (const { value, evidence } of found) {
    const before = known.get(value)
    known.set(value, before ? { value, evidence: [...before.evidence, ...evidence] } : { value, evidence })
  }
  facts.vins = [...known.values()]
  const main = facts.vin
  const isWhole = main?.length === 17 && kept.some(({ value }) => value === main)
  if (isWhole || others.length > 0 || (main !== undefined && !tellsSame(only.value, main))) return
  facts.vin = only.value
  facts.evidence.vin = only.evidence
}

function chosenBy(codes: readonly VinWithPlaces[], misread: readonly VinWithPlaces[]): Choice[] {
  return misread.map(({ value, evidence }) => {
    const taken = codes.find((code) => compareVins(code.value, value).kind === 'look-alike')?.value ?? value
    return { page: evidence[0]?.page ?? 1, read: value, taken }
  })
}

/** A part of the number, or one misread letter of it. */
function tellsSame(whole: string, main: string): boolean {
  const comparison = compareVins(whole, main)
  return comparison.kind === 'look-alike' || (comparison.kind === 'partial' && comparison.agrees)
}
