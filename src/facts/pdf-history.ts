/** How a PDF came to be what it is: its earlier revisions, what lies over its words, and what in it can act. */
import type { Place } from './reading.ts'

/**
 * What differs between an earlier revision and the file as it is.
 * `words`: words or numbers are others, were added or taken away; `moved`: the same words stand elsewhere; `field`: what a
 * form's field holds; `mark`: an annotation that lies on the page; `drawing`: pictures or lines, with the same words;
 * `pages`: their number; `signature`; `active`: scripts, actions or attached files; `unclear`: it cannot be followed.
 */
export const revisionChangeKinds = [
  'words',
  'moved',
  'field',
  'mark',
  'drawing',
  'pages',
  'signature',
  'active',
  'unclear',
] as const
export type RevisionChangeKind = (typeof revisionChangeKinds)[number]

export interface RevisionChange {
  kind: RevisionChangeKind
  /** What it is, without a full stop: "words of page 2 are others". */
  text: string
  /** As that revision has it, and as the file has it now; null where nothing stood or stands there. */
  before: Place | null
  after: Place | null
  /** Dotted paths of the facts, of either reading, that were read there. */
  facts: string[]
  /** For a mark: nothing shows through it. */
  isOpaque?: true
  /** For words: some that stood there are gone, or lie under those that came. */
  replaces?: true
  /** For a field: it held nothing before. */
  wasEmpty?: true
}

/** By what a file says it was made, and when; as much as it says. Times: RFC 3339 where a zone is given, else local. */
export interface PdfWriter {
  creator?: string
  producer?: string
  created?: string
  modified?: string
  /** XMP: the program that made it first, by its own account. */
  tool?: string
  documentId?: string
  instanceId?: string
  /** XMP: programs that saved it, in their order. */
  saves?: { action?: string; program?: string; at?: string }[]
}

/** A state that the file was saved in. */
export interface PdfRevision {
  /** From 1, the oldest. */
  number: number
  /** Where it ends: bytes from the first of the file. */
  end: number
  /** Null where that part of the file was not read by itself. */
  writer: PdfWriter | null
  /** The two parts of the file's identifier (ISO 32000-1, 14.4), in hexadecimal digits; null where it has none. */
  id: readonly [string, string] | null
  /** Against the last revision; empty for the last itself. Null where they were not compared. */
  changes: RevisionChange[] | null
}

/** An annotation with an area of its own that lies on words. */
export interface PdfMark {
  /** As the standard names it (12.5.6): `FreeText`, `Stamp`, `Ink`, … */
  subtype: string
  /** What it says itself, at its place. */
  place: Place
  /** The words that it lies on. */
  over: string
  /** Nothing shows through it, as far as its entries tell. */
  isOpaque: boolean
  /** Facts that were read there. */
  facts: string[]
}

/**
 * Something in the file that can act, or holds a file of its own.
 * `script`: JavaScript; `launch`: starts a program; `send`: sends or takes in form data; `elsewhere`: goes to another
 * file; `media`: plays or shows active media; `file`: an attached file; `other`: another action that runs by itself.
 */
export const pdfActiveKinds = ['script', 'launch', 'send', 'elsewhere', 'media', 'file', 'other'] as const
export type PdfActiveKind = (typeof pdfActiveKinds)[number]

export interface PdfActive {
  kind: PdfActiveKind
  /** What it is: its name, target or the beginning of its script; empty where nothing is told. */
  text: string
  /** What sets it off, or where it hangs: "when the file is opened", "a link on page 2". */
  where: string
  page: number | null
  /** Number of the object that it is, or that holds it; null where that is not told. */
  object: number | null
  /** For an attached file: its relation to the document (ISO 32000-2, 7.11.3) and media type where stated. */
  relation?: string
  media?: string
}

/** How a PDF is built, as far as it can be followed. */
export interface PdfFacts {
  /** From the oldest; the last is the file as it is. */
  revisions: PdfRevision[]
  /** In the file as it is. */
  marks: PdfMark[]
  /** Null where it could not be told. */
  active: PdfActive[] | null
  /** It is laid out so that its objects can be changed by hand (`%QDF`). */
  madeForEditing?: true
}
