/**
 * Bytes of a text file to characters.
 *
 * Order of trust: a byte order mark (Unicode 16, section 23.8), the zero bytes that UTF-16 leaves between Latin letters,
 * well-formed UTF-8 (RFC 3629), and at last Windows-1252, which gives every byte a meaning.
 */
import type { Problem } from '../facts/reading.ts'

export type TextEncodingName = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252'

export interface DecodedText {
  /** Well-formed: no lone surrogate, no control character but tab, line feed, carriage return and form feed. */
  text: string
  encoding: TextEncodingName
  problems: Problem[]
}

export interface TextLimits {
  /** Bytes read at most; the rest is left out with the problem `too-large`. */
  mostBytes: number
  /** Characters of one line kept at most; the rest of the line is left out with the problem `line-too-long`. */
  longestLine: number
  /** Lines kept at most; the rest is left out with the problem `too-large`. */
  mostLines: number
}

export const textLimits: TextLimits = { mostBytes: 32 * 1024 * 1024, longestLine: 1_000_000, mostLines: 500_000 }

/** For formats in which a line end means nothing. */
export const wholeText: Partial<TextLimits> = {
  longestLine: Number.POSITIVE_INFINITY,
  mostLines: Number.POSITIVE_INFINITY,
}

const replacement = '\uFFFD'
const controls = /[\u0000-\u0008\u000b\u000e-\u001f\u007f-\u0084\u0086-\u009f]/g

/**
 * Decodes a text file. Never throws. Problems: `too-large`, `bad-encoding` (some bytes are no characters),
 * `control-characters` (replaced by spaces), `not-text` (so many of them that nothing is read), `line-too-long`.
 */
export function decodeText(bytes: Uint8Array, limits: Partial<TextLimits> = {}): DecodedText {
  const all = { ...textLimits, ...limits }
  const { mostBytes } = all
  const problems: Problem[] = []
  let head = bytes
  if (bytes.length > mostBytes) {
    head = bytes.subarray(0, mostBytes)
    problems.push({
      code: 'too-large',
      message: `The text has ${bytes.length} bytes; only the first ${mostBytes} were read. Save a shorter extract.`,
    })
  }
  const encoding = encodingOf(head)
  let text = new TextDecoder(encoding).decode(head)
  if (encoding === 'utf-8' && text.includes(replacement)) {
    const lossy = resolveBrokenUtf8(head, text)
    if (lossy === null) return finish(new TextDecoder('windows-1252').decode(head), 'windows-1252', problems, all)
    text = lossy
    problems.push({
      code: 'bad-encoding',
      message: `Some bytes are not UTF-8; each was replaced by ${replacement}. Save the file as UTF-8 again.`,
    })
  }
  return finish(text, encoding, problems, all)
}

/** Splits decoded text into lines at CR LF, LF or CR; a last line end does not open another line. */
export function splitLines(text: string): string[] {
  const lines = text.split(/\r\n|\n|\r/)
  if (lines.at(-1) === '') lines.pop()
  return lines
}

function encodingOf(bytes: Uint8Array): TextEncodingName {
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) return 'utf-8'
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le'
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return 'utf-16be'
  const sample = bytes.subarray(0, 4096)
  let evenZeros = 0
  let oddZeros = 0
  sample.forEach((byte, index) => {
    if (byte !== 0) return
    if (index % 2 === 0) evenZeros++
    else oddZeros++
  })
  const half = sample.length / 2
  if (half >= 2 && oddZeros > half * 0.6 && evenZeros < half * 0.05) return 'utf-16le'
  if (half >= 2 && evenZeros > half * 0.6 && oddZeros < half * 0.05) return 'utf-16be'
  return 'utf-8'
}

/** The lossy text if the file is UTF-8 with damage, null if its bytes beyond ASCII look like a one-byte code page. */
function resolveBrokenUtf8(bytes: Uint8Array, lossy: string): string | null {
  let broken = 0
  let wellFormed = 0
  for (const character of lossy) {
    if (character === replacement) broken++
    else if (character > '\u007f') wellFormed++
  }
  const marked = bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf
  const onlyCutOff = broken === 1 && lossy.endsWith(replacement) && (bytes.at(-1) ?? 0) >= 0xc2
  return marked || onlyCutOff || wellFormed > broken ? lossy : null
}

function finish(decoded: string, encoding: TextEncodingName, problems: Problem[], limits: TextLimits): DecodedText {
  const unwanted = countControls(decoded)
  if (unwanted > 8 && unwanted > decoded.length * 0.02) {
    problems.push({
      code: 'not-text',
      message: `${unwanted} of ${decoded.length} characters are control characters: this is not a text file.`,
    })
    return { text: '', encoding, problems }
  }
  let text = decoded.toWellFormed()
  if (text.startsWith('\uFEFF')) text = text.slice(1)
  if (unwanted > 0) {
    text = text.replace(controls, ' ')
    problems.push({
      code: 'control-characters',
      message: `${unwanted} control characters were read as spaces. Export the file again if values are missing.`,
    })
  }
  return {
    text: cutLongLines(cutManyLines(text, limits.mostLines, problems), limits.longestLine, problems),
    encoding,
    problems,
  }
}

function countControls(text: string): number {
  let count = 0
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at)
    // Tab, line feed, form feed, carriage return and NEL part words; all others of the two control blocks are unwanted.
    if (
      code < 0x20
        ? code !== 9 && code !== 10 && code !== 12 && code !== 13
        : code > 0x7e && code < 0xa0 && code !== 0x85
    )
      count++
  }
  return count
}

function cutManyLines(text: string, most: number, problems: Problem[]): string {
  if (text.length <= most) return text
  const lineEnd = /\r\n|\n|\r|\f/g
  let count = 0
  for (let found = lineEnd.exec(text); found; found = lineEnd.exec(text)) {
    if (++count < most) continue
    problems.push({ code: 'too-large', message: `Only the first ${most} lines were read. Save a shorter extract.` })
    return text.slice(0, found.index)
  }
  return text
}

function cutLongLines(text: string, longest: number, problems: Problem[]): string {
  if (text.length <= longest) return text
  const kept: string[] = []
  let cut = 0
  for (let start = 0; start < text.length; ) {
    const feed = text.indexOf('\n', start)
    const end = feed === -1 ? text.length : feed
    if (end - start > longest) {
      cut++
      kept.push(text.slice(start, start + longest))
    } else kept.push(text.slice(start, end))
    if (feed === -1) break
    start = feed + 1
    if (start === text.length) kept.push('')
  }
  if (cut === 0) return text
  problems.push({
    code: 'line-too-long',
    message: `${cut} lines are longer than ${longest} characters; the rest of each was left out.`,
  })
  return kept.join('\n')
}
