/**
 * What a file says now, against what it said where a signature ends: catalog, pages, annotations and form are compared as
 * a reader meets them, whatever objects they were moved to.
 */
import type { PdfChange, PdfSignature } from '../../../facts/pdf-signature.ts'
import type { Box } from '../../../facts/reading.ts'
import { type AnnotationChange, compareAnnotations } from './annotation-changes.ts'
import { catalogOf, dictionaryIn, textOf } from './file.ts'
import { type Field, listFields, listPages, type PageObject } from './form.ts'
import { type Comparer, type Ends, makeComparer } from './same-objects.ts'
import { type PdfDictionary, type PdfValue, SyntaxFault } from './syntax.ts'
import { toView } from './view.ts'

type Permits = PdfSignature['permits']

/** A change, and where on its page it is, in points from the top left as it is seen; null where it may be anywhere. */
export interface LocatedChange extends PdfChange {
  rectangle: Box | null
}

const change = (
  kind: PdfChange['kind'],
  effect: PdfChange['effect'],
  text: string,
  more: Partial<LocatedChange> = {},
): LocatedChange => ({ kind, effect, text, page: null, before: null, after: null, rectangle: null, ...more })

type IsLocked = (field: string) => boolean

/** Sorted by what a reader would mind most. Never throws for what the files hold. `isLocked`: by full names of fields. */
export function compareEnds(ends: Ends, permits: Permits, isLocked: IsLocked = () => false): LocatedChange[] {
  try {
    const comparer = makeComparer(ends)
    const fields = compareFields(ends, permits, isLocked)
    return [...comparePages(ends, comparer, permits), ...fields, ...compareCatalogs(ends, comparer)]
  } catch (error) {
    if (!(error instanceof SyntaxFault)) throw error
    return [change('other', 'unclear', `what was added cannot be followed (${error.message})`)]
  }
}

/** What a page shows by itself: all but its annotations and what says nothing of its looks. */
const besides: ReadonlySet<string> = new Set([
  'Annots',
  'Parent',
  'Metadata',
  'LastModified',
  'PieceInfo',
  'StructParents',
  'Tabs',
  'Thumb',
  'Type',
  'Resources',
  'MediaBox',
  'CropBox',
  'Rotate',
])

function comparePages(ends: Ends, comparer: Comparer, permits: Permits): LocatedChange[] {
  const [before, after] = [listPages(ends.before), listPages(ends.after)]
  const pages = after.slice(0, before.length)
  const count =
    before.length === after.length
      ? []
      : [
          change('pages', 'seen', `the file has ${after.length} pages instead of ${before.length}`, {
            before: String(before.length),
            after: String(after.length),
          }),
        ]
  return [
    ...count,
    ...pages.flatMap((page, index) => {
      const old = before[index] as PageObject
      const drawn = samePage(old, page, comparer)
        ? []
        : [change('page', 'seen', `page ${index + 1} is drawn otherwise`, { page: index + 1 })]
      const notes = compareAnnotations(ends, comparer, old.dictionary, page.dictionary)
      return [
        ...drawn,
        ...notes.map((note) => {
          const rectangle = note.rectangle === null ? null : toView(ends.after, page, note.rectangle)
          return { ...weighAnnotation(note, index + 1, permits), rectangle }
        }),
      ]
    }),
  ]
}

function samePage(one: PageObject, other: PageObject, { same }: Comparer): boolean {
  const keys = new Set([...one.dictionary.entries.keys(), ...other.dictionary.entries.keys()])
  const own = [...keys].filter((key) => !besides.has(key))
  const taken = new Set([...one.inherited.keys(), ...other.inherited.keys()])
  return (
    own.every((key) => same(one.dictionary.entries.get(key), other.dictionary.entries.get(key))) &&
    [...taken].every((key) => same(one.inherited.get(key), other.inherited.get(key)))
  )
}

/** Marks that hide nothing of what they are on. */
const remarks: ReadonlySet<string> = new Set(['Text', 'Highlight', 'Underline', 'Squiggly', 'Link', 'Popup', 'Caret'])

function weighAnnotation(note: AnnotationChange, page: number, permits: Permits): LocatedChange {
  const { how, subtype, isSignature, text } = note
  const what = isSignature ? 'the mark of a signature' : `an annotation (${subtype})`
  const verb = { added: 'was added to', removed: 'was taken off', redrawn: 'was changed on' }[how]
  const common = {
    page,
    before: how === 'added' ? null : note.oldText,
    after: how === 'removed' ? null : text,
  }
  const sentence = `${what} ${verb} page ${page}`
  if (isSignature) {
    if (how === 'added') return change('signature', note.isDrawn ? 'permitted' : 'harmless', sentence, common)
    return change('signature', note.wasSigned ? 'unclear' : 'permitted', sentence, common)
  }
  if (subtype === 'Widget')
    return change('annotation', how === 'redrawn' ? 'unclear' : 'seen', `a field ${verb} page ${page}`, common)
  if (!note.isShown && how === 'added') return change('annotation', 'unclear', `${sentence}, hidden`, common)
  const hides = !remarks.has(subtype) || how !== 'added'
  const effect = permits === 'nothing' || permits === 'filling-in' || hides ? 'seen' : 'unclear'
  return change('annotation', permits === 'comments' ? 'unclear' : effect, sentence, common)
}

function compareFields(ends: Ends, permits: Permits, isLocked: IsLocked): LocatedChange[] {
  const before = new Map(listFields(ends.before).map((field) => [field.name, field]))
  const after = new Map(listFields(ends.after).map((field) => [field.name, field]))
  const kept = [...after.values()].flatMap((field): LocatedChange[] => {
    const old = before.get(field.name)
    if (field.type === 'Sig' || old?.type === 'Sig') return compareSignatureFields(old, field, permits)
    const [was, is] = [showValue(old), showValue(field)]
    if (was === is) return []
    const isEmpty = (was ?? '') === ''
    const text = isEmpty ? `the field ${field.name} was filled in` : `the field ${field.name} was changed`
    const values = { before: was, after: is }
    return isLocked(field.name)
      ? [change('form-value', 'seen', `${text}, though a signature locks it`, values)]
      : [change('form-value', weighValue(isEmpty, permits), text, values)]
  })
  const gone = [...before.values()].filter(({ name }) => !after.has(name))
  return [
    ...kept,
    ...gone.map((field) =>
      field.type === 'Sig'
        ? change('signature', 'seen', `the signature field ${field.name} was taken out`)
        : change('form-value', 'seen', `the field ${field.name} was taken out`, { before: showValue(field) }),
    ),
  ]
}

/** A field left empty asks to be filled in later; what was there was signed. An author may say otherwise. */
function weighValue(wasEmpty: boolean, permits: Permits): PdfChange['effect'] {
  if (permits === 'nothing') return 'seen'
  if (permits === null) return wasEmpty ? 'unclear' : 'seen'
  return wasEmpty ? 'permitted' : 'unclear'
}

function compareSignatureFields(old: Field | undefined, field: Field, permits: Permits): LocatedChange[] {
  const isSigned = field.value?.kind === 'dictionary'
  const wasSigned = old?.value?.kind === 'dictionary'
  if (wasSigned && !isSigned) return [change('signature', 'seen', `the signature ${field.name} was taken out`)]
  if (wasSigned || !isSigned) return []
  const type = (field.value as PdfDictionary).entries.get('Type')
  const isStamp = type?.kind === 'name' && type.value === 'DocTimeStamp'
  if (isStamp) return [change('validation', 'harmless', `a time stamp over the file was added (${field.name})`)]
  return [change('signature', permits === 'nothing' ? 'unclear' : 'harmless', `${field.name} was signed`)]
}

/** A field's value as text: names, strings, numbers, lists of these; null where it has none. */
export function showValue(field: Field | undefined): string | null {
  const value = field?.value ?? null
  if (value === null || value.kind === 'null') return null
  if (value.kind === 'array') return value.items.map((item) => textOf(item) ?? '…').join(', ')
  // Rich text may be a stream (12.7.3.4).
  if (value.kind === 'stream') return Buffer.from(value.data).toString('latin1').slice(0, longest)
  return textOf(value)?.slice(0, longest) ?? null
}

const longest = 300

const validation: ReadonlySet<string> = new Set(['DSS', 'Extensions', 'Perms'])
const information: ReadonlySet<string> = new Set([
  'Metadata',
  'Version',
  'Type',
  'Lang',
  'MarkInfo',
  'StructTreeRoot',
  'ViewerPreferences',
  'PageLayout',
  'PageMode',
  'Outlines',
  'PageLabels',
  'OutputIntents',
  'PieceInfo',
])
const active: ReadonlySet<string> = new Set(['OpenAction', 'AA', 'Names', 'AF', 'Collection'])

function compareCatalogs(ends: Ends, { same }: Comparer): LocatedChange[] {
  const [before, after] = [catalogOf(ends.before), catalogOf(ends.after)]
  if (before === null || after === null) return [change('other', 'unclear', 'the catalog of the file cannot be read')]
  const keys = [...new Set([...before.entries.keys(), ...after.entries.keys()])].filter((key) => !compared.has(key))
  const catalog = keys
    .filter((key) => !same(before.entries.get(key), after.entries.get(key)))
    .map((key) => weighKey(key))
  const info = same(ends.before.trailer.entries.get('Info'), ends.after.trailer.entries.get('Info'))
    ? []
    : [change('information', 'harmless', 'the information about the file was changed')]
  return [...catalog, ...compareForms(ends, before, after, same), ...info]
}

/** Told apart page by page and field by field. */
const compared: ReadonlySet<string> = new Set(['Pages', 'AcroForm'])

function weighKey(key: string): LocatedChange {
  if (validation.has(key))
    return change('validation', 'harmless', `what signatures are verified with was added (/${key})`)
  if (information.has(key))
    return change('information', 'harmless', `the information about the file was changed (/${key})`)
  if (active.has(key)) return change('active', 'unclear', `scripts, actions or attached files were changed (/${key})`)
  if (key === 'OCProperties') return change('page', 'seen', 'layers of its pages were switched')
  return change('other', 'unclear', `something else was changed (/${key})`)
}

/** What a form says beside its fields. Fonts and flags are set by whoever signs; scripts and an XFA form are not. */
function compareForms(
  ends: Ends,
  before: PdfDictionary,
  after: PdfDictionary,
  same: Comparer['same'],
): LocatedChange[] {
  const entryOf = (end: 'before' | 'after', catalog: PdfDictionary, key: string): PdfValue | undefined =>
    dictionaryIn(ends[end], catalog, 'AcroForm')?.entries.get(key)
  return ['XFA', 'CO']
    .filter((key) => !same(entryOf('before', before, key), entryOf('after', after, key)))
    .map((key) => change('active', 'unclear', `the form's scripts were changed (/${key})`))
}
