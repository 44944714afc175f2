/**
 * What a reader makes of a file's bytes: pages of located words, a drive track, the facts of a picture.
 *
 * Every format ends in the same shapes, so that page layout and the recognisers know nothing of formats. Text that has
 * no page of its own (CSV, plain text, JSON, …) is set on a grid of 6 by 12 points a character, one page for the whole
 * file: aligned columns then line up exactly as they would on paper.
 */

/** `[x0, y0, x1, y1]` in PDF points (pixels for pictures), origin at the top left, x0 <= x1 and y0 <= y1. */
export type Box = readonly [number, number, number, number]

/** Where something was read. `page` counts from 1. A declared statement has the file `packet.yaml` and line boxes. */
export interface Place {
  page: number
  box: Box
  text: string
}

/** A place in a named file of the packet. */
export interface FilePlace extends Partial<Omit<Place, 'text'>> {
  file: string
  text: string
}

/** One word: no white space inside, upright after the page's rotation was applied. `size` is the font size in points. */
export interface Word {
  text: string
  box: Box
  size: number
  bold?: boolean
  /** The name of the font as the file gives it, for telling headings and odd fonts. */
  font?: string
  /** Families of fonts, in order, where letters and digits of one value are set in more than one. */
  families?: readonly string[]
  /**
   * Set by readers of delimited tables and structured text: which cell of which row this word belongs to, so that
   * layout need not guess. Words of one cell share both numbers.
   */
  cell?: { row: number; column: number }
  /** Set for a word that is not drawn itself but stands beneath or above the picture that shows it, such as a scan. */
  layer?: true
  /** How sure its reader is of it, 0 to 100; absent where the file itself gives its letters. */
  confidence?: number
  /** What its reader made of it, where `text` is something else: look-alikes settled, or given up. */
  readAs?: string
  /**
   * Where it is to be seen, on a page whose words were set straight: `box` is then where it would stand if the page lay
   * straight in its picture.
   */
  shown?: Box
  /** Set for a word that does not run upright on its page (margin stamp, watermark): lines and cells leave it out. */
  turned?: true
}

/**
 * Why a word of a page's text cannot be seen: drawn invisibly, in the colour of its ground or without opacity; covered by
 * something painted later; cut off by a clipping path; beside the visible page; too small; on a layer that is switched
 * off. `other-letters`: what is drawn are other letters than those of the text. `layer`: drawn so, but where a picture of it stands, as programs do that add text to a scan.
 */
export const unseenReasons = [
  'invisible',
  'transparent',
  'same-colour',
  'covered',
  'clipped',
  'off-page',
  'tiny',
  'switched-off',
  'other-letters',
  'layer',
] as const
export type Unseen = (typeof unseenReasons)[number]

/** A word that the file holds and the page does not show. */
export interface UnseenWord extends Word {
  why: Exclude<Unseen, 'layer'>
  /** Where other words are seen in its place: the whole word as it stood there before, and what is seen now. */
  replaced?: { beneath: string; above: string }
}

/**
 * What became of the words that stand for the picture of a page, once they were held against the picture: read there alike,
 * not read there surely, or read there as something else (`seen`; neighbours that cannot be told apart are one text).
 */
export interface ComparedLayer {
  alike: { box: Box; text: string }[]
  unsure: { box: Box; text: string }[]
  differing: { box: Box; text: string; seen: string }[]
}

export interface Page {
  number: number
  width: number
  height: number
  unit: 'pt' | 'px'
  words: Word[]
  /** Set for a page that shows a picture and has no words of its own, or next to none: they may stand in the picture. */
  pictured?: true
  /** Set for a page of words on which a bar code may stand, drawn or as a picture. */
  barred?: true
  /** Words of its text that nobody sees; absent where there are none. No fact rests on them. */
  unseen?: UnseenWord[]
  /** Its words that stand for a picture against what is read there; absent where that was not looked at. */
  compared?: ComparedLayer
}

/**
 * One fix or sample of a drive.
 * `time`: seconds; on the clock `utc` since 1970-01-01T00:00Z, on `local` since 1970-01-01T00:00 of an unknown or stated
 * zone, on `elapsed` since the start of the log.
 */
export interface TrackPoint {
  time: number | null
  latitude?: number
  longitude?: number
  elevationMetres?: number
  /** As logged (satellite or wheel speed), metres a second. */
  speed?: number
  /** A second, independent speed where the log carries one (wheel or bus speed beside the satellite's), metres a second. */
  wheelSpeed?: number
  satellites?: number
  hdop?: number
}

export interface Track {
  clock: 'utc' | 'local' | 'elapsed'
  /** Offset of a local clock where the log states it, as `+hh:mm`. */
  offset: string | null
  /** Date and time of the first sample where `clock` is `elapsed` and the log states one: local `YYYY-MM-DDTHH:MM:SS`. */
  startedLocal: string | null
  points: TrackPoint[]
  /** Lines or elements that could not be used: bad checksum, no number, out of range. */
  rejected: number
  /** VIN, job and the like that the log's header states, label to value as written. Also put on the page as words. */
  header: Record<string, string>
}

export interface DocumentInformation {
  title?: string
  author?: string
  creator?: string
  producer?: string
  /** RFC 3339 where the file gives a zone, local date-time otherwise. */
  created?: string
  modified?: string
  /** Of the XMP of the file (ISO 16684-1): the program that made it, by its own account. */
  tool?: string
  /** One for all that was made of it, and one for this copy alone. */
  documentId?: string
  instanceId?: string
  /** Who did what to it, in the order written, as far as it says. */
  saves?: { action?: string; program?: string; at?: string }[]
}

/** Kinds of bar code that are read: ISO/IEC 16388, 15417, 16022, 18004 and 15438. */
export const symbologies = ['code-39', 'code-128', 'data-matrix', 'qr-code', 'pdf417'] as const
export type Symbology = (typeof symbologies)[number]

export interface Barcode {
  symbology: Symbology
  /** Its content; control characters, which part the fields of some labels, are spaces. */
  text: string
  /** From 1. */
  page: number
  /** Upright round the code, in the units of the page. */
  box: Box
}

/** What a program left that worked on a picture: the kind of trace, and its words. */
export interface PictureMark {
  kind:
    | 'software'
    | 'processing-software'
    | 'creator-tool'
    | 'history'
    | 'editor-resources'
    | 'adobe-segment'
    | 'changed-later'
  text: string
}

/** How a picture came about, as its file tells. */
export interface PictureOrigin {
  /** Whether anything stands in it that cameras write: make, model, time of taking, exposure. */
  cameraData: boolean
  marks: PictureMark[]
  /** Titles, descriptions and comments. */
  captions: string[]
  /** The size in pixels that the camera wrote, as stored; null where it did not. */
  stated: { width: number; height: number } | null
  /** Of a JPEG: see `QuantisationTables`. */
  quantisation: { mark: string; quality: number | null } | null
  lens?: string
  /** Of the camera. */
  serial?: string
}

/** What the camera wrote. `taken` as written, `YYYY-MM-DDTHH:MM:SS`; `offset` as `+hh:mm` or null. */
export interface PictureFacts {
  widthPixels: number
  heightPixels: number
  taken: string | null
  offset: string | null
  /** From the satellite receiver, UTC, RFC 3339. */
  satelliteTime: string | null
  location: readonly [number, number] | null
  camera: string | null
  software: string | null
  /** Absent where the reader does not tell. */
  origin?: PictureOrigin
  /** See `Look`; absent where nobody looked. */
  likeness?: string | null
  /** See `Look`; absent where nobody looked or there is none. */
  thumbnail?: ThumbnailLook
}

/** The small copy that the camera wrote into the file beside the picture (Exif, IFD1). */
export interface ThumbnailLook {
  width: number
  height: number
  /** By how many of 256 levels of grey it differs from the picture, as `compareLikenesses` measures; null where both show too little. */
  levels: number | null
}

export interface Problem {
  /** kebab-case, stable: `no-text-layer`, `encrypted`, `damaged`, `truncated`, `too-large`, `unknown-format`, … */
  code: string
  message: string
}

/** Everything one reader gives. A reader never throws for what a file holds: it reports a problem. */
export interface Reading {
  media: string
  pages: Page[]
  /** Number of pages of the file, also when some could not be read. Absent for what has no pages. */
  pageCount?: number
  track?: Track
  picture?: PictureFacts
  information?: DocumentInformation
  /** Absent where nobody looked for them. */
  barcodes?: Barcode[]
  problems: Problem[]
}
