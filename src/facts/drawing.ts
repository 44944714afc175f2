/** Pictures of pages, drawn so that a reader of the report sees the words it rests on. */
import type { Box } from './reading.ts'

/** A page to be drawn: the part around `marks` (in the page's own units, as in `Place`), or all of it where there are none. */
export interface DrawingWish {
  page: number
  marks: readonly Box[]
  /** Of a PDF: the page as the part of the file up to this byte has it. */
  end?: number
  /**
   * What is to be painted over, in the page's units: the page is then drawn whole and larger, and not at all where it
   * shows pictures, whose words are not known.
   */
  covers?: readonly Box[]
}

/** What came of a wish. */
export type Drawn = Drawing | { fault: string }

export interface Drawing {
  /** JPEG (ISO/IEC 10918-1), baseline. */
  jpeg: Uint8Array
  widthPixels: number
  heightPixels: number
  /** The part of the page that it shows, in the page's own units. */
  region: Box
}
