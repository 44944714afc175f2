/** The annotations of a page at two ends of its file (ISO 32000-1, 12.5). */
import { arrayIn, nameIn, type PdfFile, textOf } from './file.ts'
import type { Comparer, Ends } from './same-objects.ts'
import type { PdfDictionary, PdfValue } from './syntax.ts'

export interface AnnotationChange {
  how: 'added' | 'removed' | 'redrawn'
  subtype: string
  /** The widget of a signature field. */
  isSignature: boolean
  /** Was that field signed before? */
  wasSigned: boolean
  /** Has it a size and an appearance? */
  isDrawn: boolean
  /** Neither hidden nor kept from view (12.5.3). */
  isShown: boolean
  text: string | null
  oldText: string | null
  rectangle: readonly [number, number, number, number] | null
}

interface Annotation {
  item: PdfValue
  dictionary: PdfDictionary
}

const mostAnnotations = 5000

function listAnnotations(file: PdfFile, page: PdfDictionary): Annotation[] {
  return arrayIn(file, page, 'Annots')
    .slice(0, mostAnnotations)
    .flatMap((item) => {
      const dictionary = file.resolve(item)
      return dictionary?.kind === 'dictionary' ? [{ item, dictionary }] : []
    })
}

/** Annotations are known again by the number of their object, else by being the same. */
export function compareAnnotations(
  { before, after }: Ends,
  comparer: Comparer,
  oldPage: PdfDictionary,
  newPage: PdfDictionary,
): AnnotationChange[] {
  const left = listAnnotations(before, oldPage)
  const changes: AnnotationChange[] = []
  for (const annotation of listAnnotations(after, newPage)) {
    const index = findPartner(left, annotation, comparer)
    const [old] = index < 0 ? [] : left.splice(index, 1)
    if (old === undefined) changes.push(describe('added', after, annotation.dictionary, before, null))
    else if (!looksSame(old.dictionary, annotation.dictionary, comparer))
      changes.push(describe('redrawn', after, annotation.dictionary, before, old.dictionary))
  }
  return [...changes, ...left.map(({ dictionary }) => describe('removed', before, dictionary, before, dictionary))]
}

const numberOf = ({ item }: Annotation): number | null => (item.kind === 'reference' ? item.number : null)

function findPartner(left: readonly Annotation[], annotation: Annotation, { sameDictionaries }: Comparer): number {
  const number = numberOf(annotation)
  const byNumber = number === null ? -1 : left.findIndex((one) => numberOf(one) === number)
  if (byNumber >= 0) return byNumber
  return left.findIndex((one) => numberOf(one) === null && sameDictionaries(one.dictionary, annotation.dictionary))
}

/** What a field holds is compared by the form, and changes nothing here unless it is drawn. */
const besides: ReadonlySet<string> = new Set([
  'V',
  'DV',
  'M',
  'NM',
  'P',
  'Parent',
  'StructParent',
  'T',
  'TU',
  'TM',
  'Lock',
])
/** Set anew by whoever signs or fills in. */
const ofSigning: ReadonlySet<string> = new Set(['F', 'Ff', 'DA', 'MK'])

function looksSame(one: PdfDictionary, other: PdfDictionary, { same }: Comparer): boolean {
  const keys = new Set([...one.entries.keys(), ...other.entries.keys()])
  const isWidget = nameIn(other, 'Subtype') === 'Widget'
  return [...keys].every(
    (key) => besides.has(key) || (isWidget && ofSigning.has(key)) || same(one.entries.get(key), other.entries.get(key)),
  )
}

/** An entry of a dictionary or of the nearest of its parents that has it. */
export function inherited(file: PdfFile, dictionary: PdfDictionary | null, key: string): PdfValue | null {
  let node = dictionary
  for (let depth = 0; node !== null && depth < 32; depth++) {
    const value = file.resolve(node.entries.get(key))
    if (value !== null) return value
    const parent = file.resolve(node.entries.get('Parent'))
    node = parent?.kind === 'dictionary' ? parent : null
  }
  return null
}

function describe(
  how: AnnotationChange['how'],
  file: PdfFile,
  dictionary: PdfDictionary,
  before: PdfFile,
  old: PdfDictionary | null,
): AnnotationChange {
  const subtype = nameIn(dictionary, 'Subtype') ?? 'without a kind'
  const type = inherited(file, dictionary, 'FT')
  const rectangle = rectangleOf(file, dictionary)
  const hasSize = rectangle !== null && rectangle[0] !== rectangle[2] && rectangle[1] !== rectangle[3]
  const flags = file.resolve(dictionary.entries.get('F'))
  return {
    how,
    subtype,
    isSignature: subtype === 'Widget' && type?.kind === 'name' && type.value === 'Sig',
    wasSigned: inherited(before, old, 'V')?.kind === 'dictionary',
    isDrawn: hasSize && dictionary.entries.has('AP'),
    // Hidden is bit 2, NoView bit 6.
    isShown: !(flags?.kind === 'number' && (flags.value & 0b100010) !== 0),
    text: wordsOf(file, dictionary),
    oldText: old === null ? null : wordsOf(before, old),
    rectangle: hasSize ? rectangle : null,
  }
}

/** What an annotation says, at most 300 characters; null where it says nothing. */
export const wordsOf = (file: PdfFile, dictionary: PdfDictionary): string | null =>
  textOf(file.resolve(dictionary.entries.get('Contents')))?.slice(0, 300) ?? null

/** In the space of its page; null where it has none. */
export function rectangleOf(file: PdfFile, dictionary: PdfDictionary): [number, number, number, number] | null {
  const numbers = arrayIn(file, dictionary, 'Rect').map((item) => {
    const value = file.resolve(item)
    return value?.kind === 'number' ? value.value : Number.NaN
  })
  if (numbers.length !== 4 || numbers.some(Number.isNaN)) return null
  const [x0 = 0, y0 = 0, x1 = 0, y1 = 0] = numbers
  return [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)]
}
