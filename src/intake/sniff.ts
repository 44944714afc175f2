/** Tells a file's media type from its bytes; a name proves nothing. */
import type { Media } from '../facts/media.ts'
import { decodeText, sniffText } from './sniff-text.ts'

/** How much of a file `sniff` looks at. */
export const sniffBytes = 64 * 1024

/**
 * The media type of a file, from its content or from its first `sniffBytes` bytes.
 * Signatures: ISO 32000-2 7.5.2 (PDF), ITU-T T.81 (JPEG), W3C PNG, RFC 9649 (WebP), TIFF 6.0 and BigTIFF, ISO/IEC
 * 23008-12 (HEIC), GIF89a, APPNOTE 4.3.7 (zip), RFC 1952 (gzip). What has no signature and is no text is
 * `application/octet-stream`.
 */
export function sniff(bytes: Uint8Array): Media {
  const head = bytes.subarray(0, sniffBytes)
  if (head.length === 0) return 'application/x-empty'
  const bySignature = sniffSignature(head)
  if (bySignature) return bySignature
  const text = decodeText(head, bytes.length > head.length || head.length === sniffBytes)
  return text === null ? 'application/octet-stream' : sniffText(text)
}

function sniffSignature(head: Uint8Array): Media | null {
  if (startsWith(head, 0x25, 0x50, 0x44, 0x46, 0x2d)) return 'application/pdf'
  if (startsWith(head, 0xff, 0xd8, 0xff)) return 'image/jpeg'
  if (startsWith(head, 0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a)) return 'image/png'
  if (ascii(head, 0, 4) === 'RIFF' && ascii(head, 8, 12) === 'WEBP') return 'image/webp'
  if (isTiff(head)) return 'image/tiff'
  if (isHeic(head)) return 'image/heic'
  if (/^GIF8[79]a$/.test(ascii(head, 0, 6))) return 'image/gif'
  if (isZip(head)) return 'application/zip'
  if (startsWith(head, 0x1f, 0x8b, 0x08)) return 'application/gzip'
  if (hasLatePdfHeader(head)) return 'application/pdf'
  return null
}

const startsWith = (bytes: Uint8Array, ...signature: number[]): boolean =>
  bytes.length >= signature.length && signature.every((byte, index) => bytes[index] === byte)

const ascii = (bytes: Uint8Array, from: number, to: number): string =>
  String.fromCharCode(...bytes.subarray(from, Math.min(to, bytes.length)))

/** `II` or `MM`, then 42 in that byte order (43 for BigTIFF). */
const isTiff = (head: Uint8Array): boolean =>
  startsWith(head, 0x49, 0x49, 0x2a, 0x00) ||
  startsWith(head, 0x4d, 0x4d, 0x00, 0x2a) ||
  startsWith(head, 0x49, 0x49, 0x2b, 0x00) ||
  startsWith(head, 0x4d, 0x4d, 0x00, 0x2b)

/** A `ftyp` box whose major or a compatible brand is one of HEVC still pictures; `mif1` alone may hold any codec. */
function isHeic(head: Uint8Array): boolean {
  if (ascii(head, 4, 8) !== 'ftyp' || head.length < 12) return false
  const size = new DataView(head.buffer, head.byteOffset).getUint32(0)
  const brands = ascii(head, 8, Math.min(size, 256)).match(/.{4}/gs) ?? []
  return brands.some((brand, index) => index !== 1 && /^(hei[cxms]|hev[cxms])$/.test(brand))
}

/** A local file header, or the end record of a zip without entries; but not a document that is a zip only inside. */
const isZip = (head: Uint8Array): boolean =>
  (startsWith(head, 0x50, 0x4b, 0x03, 0x04) && !isOfficeDocument(head)) || startsWith(head, 0x50, 0x4b, 0x05, 0x06)

/** By the name of the first member: ISO/IEC 29500-2 (OPC) for one family, OpenDocument 1.3 part 2 and EPUB OCF for the other. */
const isOfficeDocument = (head: Uint8Array): boolean =>
  /^(\[Content_Types\]\.xml|_rels\/|mimetype)/.test(ascii(head, 30, 64))

/** Readers accept a PDF header within the first 1024 bytes (ISO 32000-1 annex H.3, note 13); here, only after non-text or a mark. */
function hasLatePdfHeader(head: Uint8Array): boolean {
  const start = ascii(head, 0, 1024).replace(/^\xef\xbb\xbf/, '')
  const at = start.search(/(^|[\r\n\0])%PDF-[12]\.\d/)
  return at >= 0 && /[\0-\x08\x0e-\x1f]|^\s*$/.test(start.slice(0, at))
}
