/** The fields of a PDF's form, and its pages (ISO 32000-1, 12.7.3 and 7.7.3). */
import { arrayIn, catalogOf, dictionaryIn, nameIn, type PdfFile, textOf } from './file.ts'
import type { PdfDictionary, PdfValue } from './syntax.ts'

export interface Field {
  /** Parts joined with dots. */
  name: string
  dictionary: PdfDictionary
  /** `Tx`, `Btn`, `Ch`, `Sig`; null where none is stated. */
  type: string | null
  value: PdfValue | null
  /** Object that the value is, where it is a reference. */
  valueObject: number | null
}

/** More fields, and deeper, than any form has. */
const mostFields = 20_000
const deepest = 32

/** Fields without children of their own name, in the order of the form. */
export function listFields(file: PdfFile): Field[] {
  const catalog = catalogOf(file)
  const form = catalog === null ? null : dictionaryIn(file, catalog, 'AcroForm')
  if (form === null) return []
  const found: Field[] = []
  const visited = new Set<PdfDictionary>()
  const visit = (item: PdfValue, parent: string, inherited: Inherited, depth: number): void => {
    const dictionary = file.resolve(item)
    if (dictionary?.kind !== 'dictionary' || visited.has(dictionary) || depth > deepest || visited.size > mostFields)
      return
    visited.add(dictionary)
    const part = textOf(file.resolve(dictionary.entries.get('T')))
    const name = [parent, part ?? ''].filter((one) => one !== '').join('.')
    const own = {
      type: nameIn(dictionary, 'FT') ?? inherited.type,
      value: dictionary.entries.get('V') ?? inherited.value,
    }
    const children = arrayIn(file, dictionary, 'Kids').filter((kid) => {
      const child = file.resolve(kid)
      return child?.kind === 'dictionary' && child.entries.has('T')
    })
    for (const kid of children) visit(kid, name, own, depth + 1)
    if (children.length > 0) return
    const valueObject = own.value?.kind === 'reference' ? own.value.number : null
    found.push({ name, dictionary, type: own.type, value: file.resolve(own.value ?? undefined), valueObject })
  }
  for (const item of arrayIn(file, form, 'Fields')) visit(item, '', { type: null, value: null }, 0)
  return found
}

interface Inherited {
  type: string | null
  value: PdfValue | null
}

export interface PageObject {
  dictionary: PdfDictionary
  /** Of the keys that pages take over from the nodes above them. */
  inherited: ReadonlyMap<string, PdfValue>
}

/** Numbers of the objects that the page tree consists of. */
export function pageObjects(file: PdfFile): Set<number> {
  const numbers = new Set<number>()
  const visit = (item: PdfValue | undefined, depth: number): void => {
    if (item?.kind !== 'reference' || numbers.has(item.number) || depth > deepest || numbers.size > mostPages) return
    const node = file.resolve(item)
    if (node?.kind !== 'dictionary') return
    numbers.add(item.number)
    for (const kid of arrayIn(file, node, 'Kids')) visit(kid, depth + 1)
  }
  visit(catalogOf(file)?.entries.get('Pages'), 0)
  return numbers
}

const inheritable = ['Resources', 'MediaBox', 'CropBox', 'Rotate'] as const
const mostPages = 20_000

/** In the order of the page tree. */
export function listPages(file: PdfFile): PageObject[] {
  const catalog = catalogOf(file)
  const found: PageObject[] = []
  const visited = new Set<PdfDictionary>()
  const visit = (item: PdfValue | undefined, inherited: ReadonlyMap<string, PdfValue>, depth: number): void => {
    const node = file.resolve(item)
    if (node?.kind !== 'dictionary' || visited.has(node) || depth > deepest || visited.size > mostPages) return
    visited.add(node)
    const own = new Map(inherited)
    for (const key of inheritable) {
      const value = node.entries.get(key)
      if (value !== undefined) own.set(key, value)
    }
    if (node.entries.has('Kids')) for (const kid of arrayIn(file, node, 'Kids')) visit(kid, own, depth + 1)
    else found.push({ dictionary: node, inherited: own })
  }
  visit(catalog?.entries.get('Pages'), new Map(), 0)
  return found
}
