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
  const tags: Tag[] = []
  const faults: number[] = []
  for (const [index, line] of text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/)
    .entries()) {
    const last = tags.at(-1)
    if (line.trim() === '') continue
    if (/^[ \t]/.test(line) && last !== undefined) {
      last.value = `${last.value} ${line.trim()}`.trim()
      continue
    }
    const [, label, value] = /^([^:\s][^:]*?)[ \t]*:[ \t]*(.*)$/.exec(line) ?? []
    if (label === undefined || value === undefined) faults.push(index + 1)
    else tags.push({ label, value: value.trimEnd() })
  }
  return { tags, faults }
}

/** One line a tag; line breaks in values become spaces. */
export const writeTags = (tags: readonly Tag[]): string =>
  tags.map(({ label, value }) => `${label}: ${value.replaceAll(/\s+/g, ' ').trim()}\n`).join('')

/** Reserved labels are not case-sensitive (RFC 8493, 2.2.2). */
export const findTag = (tags: readonly Tag[], label: string): string | null =>
  tags.find((tag) => tag.label.toLowerCase() === label.toLowerCase())?.value ?? null

export const declaration = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n'

/** `null` where bagit.txt is well formed, else what is wrong with it. Versions 0.93 to 1.0 are read. */
export function findDeclarationFault(text: string): string | null {
  const { tags, faults } = parseTags(text)
  const version = findTag(tags, 'BagIt-Version')
  const encoding = findTag(tags, 'Tag-File-Character-Encoding')
  if (faults.length > 0 || tags.length !== 2 || version === null || encoding === null)
    return 'bagit.txt does not hold a version and an encoding, and nothing else'
  if (!/^(0\.9[3-7]|1\.0)$/.test(version)) return `bagit.txt is of version ${version}, which is not known`
  return encoding.toUpperCase() === 'UTF-8'
    ? null
    : `bagit.txt asks for the encoding ${encoding}, and only UTF-8 is read`
}

/** Payload-Oxum: bytes and number of files of the payload. */
export const writeOxum = (files: readonly { bytes: number }[]): string =>
  `${files.reduce((sum, { bytes }) => sum + bytes, 0)}.${files.length}`
