/**
 * What in a PDF can act, or is a file of its own: everything that the catalog leads to is walked through, wherever an
 * action may stand (ISO 32000-1, 12.6.4: actions; 7.11.4: embedded files; 12.5.6 and 13: media; 12.7.8: XFA).
 */
import type { PdfActive, PdfActiveKind } from '../../../facts/pdf-history.ts'
import { catalogOf, dictionaryIn, nameIn, type PdfFile, textOf } from '../reading/file.ts'
import { decodeStream } from '../reading/filters.ts'
import { listPages } from '../reading/form.ts'
import { latin, type PdfDictionary, type PdfValue, SyntaxFault } from '../reading/syntax.ts'

const mostSteps = 1_000_000
const mostFound = 60
const deepest = 200
const longest = 100

/** Says nothing that acts, and is large; or leads back up. */
const passedOver: ReadonlySet<string> = new Set(['StructTreeRoot', 'Parent', 'P', 'Prev', 'Metadata', 'Font', 'Pg'])

interface Spot {
  page: number | null
  object: number | null
  /** Keys that led here, the nearest last. */
  keys: readonly string[]
  /** Subtype of the annotation that it hangs on. */
  annotation: string | null
}

/** In the order in which the catalog leads to them. Throws SyntaxFault for a file without measure. */
export function listActive(file: PdfFile): PdfActive[] {
  const found: PdfActive[] = []
  const known = new Set<string>()
  const visited = new Set<number>()
  const pages = new Map(listPages(file).map(({ dictionary }, index) => [dictionary, index + 1]))
  let steps = 0

  const add = (kind: PdfActiveKind, text: string, spot: Spot, more: Partial<PdfActive> = {}) => {
    const plain = text.replace(/\s+/g, ' ').trim().slice(0, longest)
    const one: PdfActive = {
      kind,
      text: plain,
      where: describeSpot(spot),
      page: spot.page,
      object: spot.object,
      ...more,
    }
    const key = JSON.stringify([kind, plain, one.page, one.object])
    if (!known.has(key) && found.length < mostFound) found.push(one)
    known.add(key)
  }

  const visit = (value: PdfValue | undefined, spot: Spot): void => {
    if (++steps > mostSteps)
      throw new SyntaxFault(file.bytes.length, 'its objects refer to one another without measure')
    if (value === undefined || spot.keys.length > deepest) return
    if (value.kind === 'reference') {
      if (visited.has(value.number)) return
      visited.add(value.number)
      visit(file.resolve(value) ?? undefined, { ...spot, object: value.number })
    } else if (value.kind === 'array') for (const item of value.items) visit(item, spot)
    else if (value.kind === 'dictionary') look(value, spot)
    else if (value.kind === 'stream') look(value.dictionary, spot)
  }

  const look = (dictionary: PdfDictionary, from: Spot): void => {
    const page = pages.get(dictionary) ?? from.page
    const isAnnotation = from.keys.at(-1) === 'Annots'
    const spot = { ...from, page, annotation: isAnnotation ? (nameIn(dictionary, 'Subtype') ?? '') : from.annotation }
    const action = actionOf(file, dictionary, spot)
    if (action !== null) add(action.kind, action.text, spot)
    if (isAnnotation && media.has(spot.annotation ?? '')) add('media', spot.annotation ?? '', spot)
    const attached = attachmentOf(file, dictionary)
    if (attached !== null) add('file', attached.text, spot, attached.more)
    if (from.keys.at(-1) === 'AcroForm' && dictionary.entries.has('XFA'))
      add('other', 'an XFA form, which may run scripts', spot)
    for (const [key, value] of dictionary.entries)
      if (!passedOver.has(key)) visit(value, { ...spot, keys: [...spot.keys, key] })
  }

  visit(catalogOf(file) ?? undefined, { page: null, object: null, keys: [], annotation: null })
  return found
}

const media: ReadonlySet<string> = new Set(['RichMedia', 'Movie', 'Sound', 'Screen', '3D'])

const kinds: Readonly<Record<string, PdfActiveKind>> = {
  JavaScript: 'script',
  Launch: 'launch',
  SubmitForm: 'send',
  ImportData: 'send',
  GoToR: 'elsewhere',
  GoToE: 'elsewhere',
  Rendition: 'media',
  Movie: 'media',
  Sound: 'media',
  RichMediaExecute: 'media',
}

/** An action of a kind that matters; a link to a web address does where it needs no click. */
function actionOf(
  file: PdfFile,
  dictionary: PdfDictionary,
  { keys }: Spot,
): { kind: PdfActiveKind; text: string } | null {
  const { entries } = dictionary
  const name = nameIn(dictionary, 'S')
  const script = entries.get('JS')
  if (script !== undefined && (name === 'JavaScript' || name === 'Rendition'))
    return { kind: 'script', text: scriptOf(file, script) }
  if (name === null) return null
  const kind = kinds[name]
  if (kind !== undefined && (kind === 'media' || kind === 'elsewhere' || targets.some((key) => entries.has(key))))
    return entries.has('K') ? null : { kind, text: targetOf(file, dictionary) }
  const isUnasked = keys.includes('OpenAction') || keys.includes('AA')
  if (name === 'URI' && isUnasked) return { kind: 'other', text: textOf(file.resolve(entries.get('URI'))) ?? '' }
  return null
}

const targets = ['F', 'Win', 'Mac', 'Unix', 'FS'] as const

function scriptOf(file: PdfFile, script: PdfValue): string {
  const value = file.resolve(script)
  if (value?.kind !== 'stream') return textOf(value) ?? ''
  try {
    return latin(decodeStream(value).subarray(0, 400))
  } catch (error) {
    if (error instanceof SyntaxFault) return ''
    throw error
  }
}

function targetOf(file: PdfFile, dictionary: PdfDictionary): string {
  for (const key of targets) {
    const value = file.resolve(dictionary.entries.get(key))
    if (value?.kind === 'string') return textOf(value) ?? ''
    if (value?.kind !== 'dictionary') continue
    const name = fileNameIn(file, value)
    if (name !== '') return name
  }
  return ''
}

function fileNameIn(file: PdfFile, { entries }: PdfDictionary): string {
  for (const key of ['UF', 'F', 'Unix', 'DOS', 'Mac']) {
    const text = textOf(file.resolve(entries.get(key)))
    if (text !== null && text !== '') return text
  }
  return ''
}

/** A file specification that carries the file itself. */
function attachmentOf(file: PdfFile, dictionary: PdfDictionary): { text: string; more: Partial<PdfActive> } | null {
  const embedded = dictionaryIn(file, dictionary, 'EF')
  if (embedded === null) return null
  const stream = file.resolve(embedded.entries.get('F') ?? embedded.entries.get('UF'))
  if (stream?.kind !== 'stream') return null
  const relation = nameIn(dictionary, 'AFRelationship')
  const type = nameIn(stream.dictionary, 'Subtype')
  return {
    text: fileNameIn(file, dictionary),
    more: { ...(relation === null ? {} : { relation }), ...(type === null ? {} : { media: type }) },
  }
}

/** Words that follow "runs", "hangs" or "stands". */
function describeSpot({ keys, page, annotation }: Spot): string {
  const on = page === null ? '' : ` on page ${page}`
  if (keys.includes('OpenAction')) return 'when the file is opened'
  if (annotation !== null) return annotation === 'Widget' ? `a field${on}` : `an annotation (${annotation})${on}`
  if (keys.includes('AcroForm')) return "the file's form"
  if (keys.includes('JavaScript')) return 'when the file is opened'
  if (keys.includes('EmbeddedFiles') || keys.includes('AF')) return 'attached to the file'
  if (keys.includes('Outlines')) return 'the outline'
  if (page !== null) return `page ${page}, by itself`
  return keys.includes('AA') ? 'the file, by itself' : 'the file'
}
