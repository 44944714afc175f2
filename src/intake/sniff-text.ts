/** Tells kinds of text apart by their first lines. */
import type { Media } from '../facts/media.ts'

/**
 * The text of `head`: UTF-8 (with or without byte order mark), UTF-16 with one, else a single-byte Western code page;
 * null for what is no text. `cut` says that the file goes on, so that a character may be severed at the end.
 */
export function decodeText(head: Uint8Array, cut: boolean): string | null {
  if (head[0] === 0xff && head[1] === 0xfe) return decodeUtf16(head, 'utf-16le', cut)
  if (head[0] === 0xfe && head[1] === 0xff) return decodeUtf16(head, 'utf-16be', cut)
  const text = decodeStrictly(head, 'utf-8', cut)
  if (text !== null) return hasControls(text) ? null : text
  return decodeWestern(head)
}

function decodeStrictly(head: Uint8Array, encoding: string, cut: boolean): string | null {
  try {
    return new TextDecoder(encoding, { fatal: true }).decode(head, { stream: cut })
  } catch {
    return null
  }
}

function decodeUtf16(head: Uint8Array, encoding: string, cut: boolean): string | null {
  const text = decodeStrictly(head, encoding, cut)
  return text === null || hasControls(text) ? null : text
}

/** Windows-1252, which holds Latin-1. Text in Western languages is mostly ASCII; packed data is not. */
function decodeWestern(head: Uint8Array): string | null {
  const text = new TextDecoder('windows-1252').decode(head)
  if (hasControls(text)) return null
  const high = head.reduce((count, byte) => count + (byte >= 0x80 ? 1 : 0), 0)
  return high * 10 <= head.length * 3 ? text : null
}

/** Control characters that no text file needs. Escape, backspace and form feed occur in printer dumps; substitute ends DOS files. */
const hasControls = (text: string): boolean => /[\0-\x07\x0e-\x19\x1c-\x1f\x7f]/.test(text)

/** The media type of text, `text/plain` for what shows no structure. */
export function sniffText(text: string): Media {
  const start = text.replace(/^\uFEFF/, '').trimStart()
  const lines = start.split(/\r\n|\r|\n/, 200).filter((line) => line.trim() !== '')
  if (start.startsWith('<')) return sniffMarkup(start)
  if (looksLikeJson(start)) return 'application/json'
  if (looksLikeNmea(lines)) return 'text/x-nmea'
  if (looksLikeYaml(lines)) return 'application/yaml'
  return sniffDelimited(lines) ?? 'text/plain'
}

function sniffMarkup(start: string): Media {
  const root = skipProlog(start)
  if (/^<html[\s>]/i.test(root) || /<!doctype\s+html/i.test(start.slice(0, 1024))) return 'text/html'
  if (/^<([\w.-]+:)?gpx[\s/>]/.test(root)) return 'application/gpx+xml'
  return start.startsWith('<?xml') || /^<[A-Za-z_][\w:.-]*(\s[^<>]*)?\/?>/.test(root) ? 'application/xml' : 'text/plain'
}

/** What follows XML declaration, comments, instructions and document type. Linear in the text, whatever it holds. */
function skipProlog(text: string): string {
  let rest = text
  for (;;) {
    const end = rest.startsWith('<?')
      ? rest.indexOf('?>') + 2
      : rest.startsWith('<!--')
        ? rest.indexOf('-->') + 3
        : /^<!doctype/i.test(rest)
          ? endOfDoctype(rest)
          : 0
    if (end < 4) return rest
    rest = rest.slice(end).trimStart()
  }
}

function endOfDoctype(text: string): number {
  const close = text.indexOf('>')
  const subset = text.indexOf('[')
  return subset < 0 || subset > close ? close + 1 : text.indexOf(']>', subset) + 2
}

/** An object whose first key is quoted, or an array of JSON values; also one document a line. */
const looksLikeJson = (start: string): boolean =>
  /^\{\s*("(\\.|[^"\\])*"\s*:|\}\s*$)/.test(start) ||
  /^\[\s*(\]\s*$|[[{]|("(\\.|[^"\\])*"|-?\d+(\.\d+)?([eE][+-]?\d+)?|true|false|null)\s*[,\]])/.test(start)

/** NMEA 0183: `$` or `!`, talker and sentence in capitals and digits, fields, and mostly a checksum. */
function looksLikeNmea(lines: readonly string[]): boolean {
  const first = lines.filter((line) => !line.startsWith('#')).slice(0, 40)
  const sentences = first.filter((line) => /^[$!][A-Z][A-Z0-9]{3,7},[\x20-\x7e]*$/.test(line.trim()))
  return sentences.length > 0 && sentences.length * 2 >= first.length
}

/**
 * A marker, or nothing but keys without spaces, items and their nested lines. "Label: value" lines of a printed report
 * are valid YAML too, but no one wrote them as such: they stay plain text.
 */
function looksLikeYaml(lines: readonly string[]): boolean {
  if (/^(%YAML\s|---(\s|$))/.test(lines[0] ?? '')) return /^\s*(- |[\w"'.-]+:(\s|$)|[[{#])/.test(lines[1] ?? '')
  const written = lines.filter((line) => !/^\s*#/.test(line)).slice(0, 100)
  if (written.length < 2) return false
  const isKeyOrItem = (line: string) => /^\s*(- .*|-|[A-Za-z_][\w-]*:( .*)?)$/.test(line)
  const isNesting = (line: string, index: number) =>
    /^\s*[A-Za-z_][\w-]*:\s*$/.test(line) && /^\s*- |^\s+\S/.test(written[index + 1] ?? '')
  return written.every(isKeyOrItem) && written.some(isNesting) && /^[a-z_]/.test(written[0] ?? '')
}

/**
 * A table: some run of lines, most of the file, that all hold the same number of separators outside quotation marks.
 * Lines of a log's header may come before it.
 */
function sniffDelimited(lines: readonly string[]): Media | null {
  const tab = longestRun(lines, '\t')
  if (isTable(tab, lines.length, 1)) return 'text/tab-separated-values'
  for (const separator of [';', ',', '|']) {
    if (isTable(longestRun(lines, separator), lines.length, separator === ',' ? 2 : 1)) return 'text/csv'
  }
  // Pairs of label and value, then a table of another width: no line of prose holds a semicolon in every line.
  const written = lines.filter((line) => line.trim() !== '')
  const share = (separator: string) =>
    written.filter((line) => countOutsideQuotes(line, separator) > 0).length / Math.max(1, written.length)
  if (written.length < 4) return null
  if (share(';') >= 0.9) return 'text/csv'
  // Commas stand in prose too: there must be a table among the lines, and none may read like a sentence.
  const table = longestRun(written, ',', 2)
  if (share(',') >= 0.9 && table.length >= 3 && !written.some(isSentence)) return 'text/csv'
  // Pairs under headings, without a table: nobody writes prose without a space behind a single comma. Commas of numbers do
  // not count.
  const pairs = written.filter((line) => /\D,|,\D/.test(line) && countOutsideQuotes(line, ',') > 0)
  return pairs.length >= 0.8 * written.length && !written.some(hasOpenComma) ? 'text/csv' : null
}

const hasOpenComma = (line: string): boolean => /,\s/.test(line.replace(/"[^"]*"/g, ''))

/** A line of prose has a space behind its commas; a cell that ends in a full stop has none before it. */
function isSentence(line: string): boolean {
  return /[.!?]$/.test(line.trim()) && hasOpenComma(line)
}

interface Run {
  length: number
  separators: number
}

const isTable = (run: Run, lines: number, least: number): boolean =>
  (run.separators >= least && run.length >= 2 && run.length * 10 >= lines * 6) ||
  (run.separators >= 1 && run.length >= 3 && run.length * 10 >= lines * 9)

/** The longest run of lines with the same number of separators, of those with at least `least` of them. */
function longestRun(lines: readonly string[], separator: string, least = 1): Run {
  let best: Run = { length: 0, separators: 0 }
  let current: Run = { length: 0, separators: -1 }
  for (const line of lines) {
    const separators = countOutsideQuotes(line, separator)
    current = { length: separators === current.separators ? current.length + 1 : 1, separators }
    if (separators >= least && current.length > best.length) best = current
  }
  return best
}

function countOutsideQuotes(line: string, separator: string): number {
  let count = 0
  let quoted = false
  for (const character of line) {
    if (character === '"') quoted = !quoted
    else if (character === separator && !quoted) count += 1
  }
  return count
}
