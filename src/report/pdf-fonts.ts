/** The fonts of the PDF report. By itself, so that whoever uses our types needs none of the library's that makes the PDF. */
export interface Fonts {
  /** TrueType or OpenType; they are embedded in part, so their licence must allow that. */
  regular: Uint8Array
  bold: Uint8Array
}
