/** The tag files of a bag that are not manifests: bagit.txt and bag-info.txt (RFC 8493, sections 2.1.1 and 2.2.2). */

export interface Tag {
  label: string
  value: string
}

/**
 * Labels and values in their order; a label may stand several times. A line that begins with white space goes on with the
 * value before it. `faults`: lines that are neither.
 */
export function parseTags(text: string): { tags: Tag[]; faults: number[] } {
  const read: { label: string; parts: string[] }[] = []
  const faults: number[] = []
  for (const [index, line] of text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/)
    .entries()) {
    const last = read.at(-1)
    if (line.trim() === '') continue
    if (/^[ \t]/.test(line) && last !== undefined) {
      last.parts.push(line.trim())
      continue
    }
    // Looked for, not matched: a line without a colon can be as long as the file.
    const colon = line.indexOf(':')
    if (colon < 1 || /^\s/.test(line)) faults.push(index + 1)
    else read.push({ label: line.slice(0, colon).trim(), parts: [line.slice(colon + 1).trim()] })
  }
  const tags = read.map(({ label, parts }) => ({ label, value: parts.filter((part) => part !== '').join(' ') }))
  return { tags, faults }
}

/** One line a tag; line breaks in values become spaces. */
export const writeTags = (tags: readonly Tag[]): string =>
  tags.map(({ label, value }) => `${label}: ${value.replaceAll(/\s+/g, ' ').trim()}\n`).join('')

/** Reserved labels are not case-sensitive (RFC 8493, 2.2.2). The value where the label first stands. */
export const findTag = (tags: readonly Tag[], label: string): string | null => findTags(tags, label)[0] ?? null

/** The values of all tags with the label. */
export const findTags = (tags: readonly Tag[], label: string): string[] =>
  tags.filter((tag) => tag.label.toLowerCase() === label.toLowerCase()).map(({ value }) => value)

export const declaration = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n'

export interface Declaration {
  /** `1.0`; null where it is not stated. */
  version: string | null
  /** Of all tag files but bagit.txt itself. */
  decode(bytes: Uint8Array | undefined): string
  fault: { code: 'declaration' | 'version-unknown' | 'encoding-unknown'; text: string } | null
}

/**
 * Exactly two lines in this order, without a byte order mark, and with no space before the colon. What RFC 8493 itself
 * writes, `BagIt-version`, is let pass, and so are more spaces after the colon, as drafts before 1.0 had them.
 */
const declarationForm =
  /^BagIt-Version:[ \t]*[^ \t\r\n]+[ \t]*(?:\r\n|\r|\n)Tag-File-Character-Encoding:[ \t]*[^ \t\r\n]+[ \t]*[\r\n]*$/i

/** Reads bagit.txt (RFC 8493, 2.1.1). Versions 0.93 to 1.0 are known, and the encodings of the WHATWG standard. */
export function readDeclaration(text: string): Declaration {
  const { tags } = parseTags(text)
  const version = findTag(tags, 'BagIt-Version')
  const encoding = findTag(tags, 'Tag-File-Character-Encoding')
  const own = makeDecoder(encoding ?? 'UTF-8')
  const read = { version, decode: own ?? decodeUtf8 }
  if (!declarationForm.test(text) || version === null || encoding === null)
    return {
      ...read,
      fault: { code: 'declaration', text: 'bagit.txt does not hold a version and an encoding, and nothing else' },
    }
  if (!/^(0\.9[3-7]|1\.0)$/.test(version))
    return {
      ...read,
      fault: { code: 'version-unknown', text: `bagit.txt is of version ${version}, which is not known` },
    }
  if (own !== null) return { ...read, fault: null }
  return {
    ...read,
    fault: { code: 'encoding-unknown', text: `bagit.txt asks for the encoding ${encoding}, which is not known` },
  }
}

/** Leaves a byte order mark where it is; what is no UTF-8 becomes U+FFFD. */
export const decodeUtf8 = (bytes: Uint8Array | undefined): string =>
  new TextDecoder('utf-8', { ignoreBOM: true }).decode(bytes)

function makeDecoder(encoding: string): Declaration['decode'] | null {
  try {
    const decoder = new TextDecoder(encoding, { ignoreBOM: true })
    return (bytes) => decoder.decode(bytes)
  } catch {
    return null
  }
}

/** Payload-Oxum: bytes and number of files of the payload. */
export const writeOxum = (files: readonly { bytes: number }[]): string =>
  `${files.reduce((sum, { bytes }) => sum + bytes, 0)}.${files.length}`
