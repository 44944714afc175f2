/** The annotations of a file's pages as areas that lie on words (ISO 32000-1, 12.5), fields of its form among them. */
import type { Box } from '../../../facts/reading.ts'
import { inherited, rectangleOf, wordsOf } from '../reading/annotation-changes.ts'
import { showValue } from '../reading/changes.ts'
import { arrayIn, nameIn, type PdfFile, textOf } from '../reading/file.ts'
import { listPages } from '../reading/form.ts'
import type { PdfDictionary } from '../reading/syntax.ts'
import { toView } from '../reading/view.ts'

export interface Area {
  page: number
  subtype: string
  /** In points from the top left of what is seen. */
  box: Box
  /** Of a note: what it says. */
  text: string
  isOpaque: boolean
  /** Of a field: its full name, and what it holds, empty where nothing. */
  field: { name: string; value: string; isSignature: boolean } | null
}

const mostAreas = 5000

/** Those that are shown and have a size. Throws SyntaxFault for a file without measure. */
export function listAreas(file: PdfFile): Area[] {
  const found: Area[] = []
  for (const [index, page] of listPages(file).entries())
    for (const item of arrayIn(file, page.dictionary, 'Annots')) {
      const dictionary = file.resolve(item)
      const rectangle = dictionary?.kind === 'dictionary' ? rectangleOf(file, dictionary) : null
      if (dictionary?.kind !== 'dictionary' || rectangle === null || !isShown(file, dictionary)) continue
      const box = toView(file, page, rectangle)
      if (box === null || box[2] - box[0] < 1 || box[3] - box[1] < 1) continue
      found.push(describe(file, dictionary, index + 1, box))
      if (found.length >= mostAreas) return found
    }
  return found
}

/** Neither hidden (bit 2) nor kept from view (bit 6). */
function isShown(file: PdfFile, { entries }: PdfDictionary): boolean {
  const flags = file.resolve(entries.get('F'))
  return !(flags?.kind === 'number' && (flags.value & 0b100010) !== 0)
}

function describe(file: PdfFile, dictionary: PdfDictionary, page: number, box: Box): Area {
  const subtype = nameIn(dictionary, 'Subtype') ?? 'without a kind'
  return {
    page,
    subtype,
    box,
    text: subtype === 'Widget' ? '' : (wordsOf(file, dictionary) ?? ''),
    isOpaque: isOpaque(file, dictionary, subtype),
    field: subtype === 'Widget' ? describeField(file, dictionary) : null,
  }
}

/** Colours that fill a kind of annotation: 12.5.6.6 (FreeText), 12.5.6.8 (shapes), 12.5.6.23 (Redact). */
const fillings: Readonly<Record<string, readonly string[]>> = {
  FreeText: ['C'],
  Square: ['IC'],
  Circle: ['IC'],
  Polygon: ['IC'],
  Redact: ['IC', 'OC'],
}

/** Filled with a colour, and not seen through (12.5.6.2, CA). */
function isOpaque(file: PdfFile, dictionary: PdfDictionary, subtype: string): boolean {
  const opacity = file.resolve(dictionary.entries.get('CA'))
  if (opacity?.kind === 'number' && opacity.value < 0.9) return false
  return (fillings[subtype] ?? []).some((key) => arrayIn(file, dictionary, key).length > 0)
}

function describeField(file: PdfFile, dictionary: PdfDictionary): Area['field'] {
  const parts: string[] = []
  let node: PdfDictionary | null = dictionary
  for (let depth = 0; node !== null && depth < 32; depth++) {
    const part = textOf(file.resolve(node.entries.get('T')))
    if (part !== null) parts.unshift(part)
    const parent = file.resolve(node.entries.get('Parent'))
    node = parent?.kind === 'dictionary' ? parent : null
  }
  const type = inherited(file, dictionary, 'FT')
  const value = inherited(file, dictionary, 'V')
  const isSignature = type?.kind === 'name' && type.value === 'Sig'
  const shown = isSignature ? null : showValue({ name: '', dictionary, type: null, value, valueObject: null })
  // A button that is off says nothing (12.7.4.2.3).
  return { name: parts.join('.'), value: shown === 'Off' ? '' : (shown ?? ''), isSignature }
}
