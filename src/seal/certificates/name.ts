/** Distinguished names as text (RFC 4514), and compared (RFC 5280, 7.1). */
import type { BaseBlock } from 'asn1js'
import { members, oidOf, partsOf, rawOf, setOf } from '../ber.ts'

/** Short names of RFC 4514, 3, and those that certificates use beside. */
const keywords: Readonly<Record<string, string>> = {
  '2.5.4.3': 'CN',
  '2.5.4.5': 'serialNumber',
  '2.5.4.6': 'C',
  '2.5.4.7': 'L',
  '2.5.4.8': 'ST',
  '2.5.4.9': 'STREET',
  '2.5.4.10': 'O',
  '2.5.4.11': 'OU',
  '0.9.2342.19200300.100.1.1': 'UID',
  '0.9.2342.19200300.100.1.25': 'DC',
  '1.2.840.113549.1.9.1': 'emailAddress',
}

/** `CN=Records desk,O=Larkfield Sensor Works`: the most particular part first, special characters escaped. */
export function writeName(name: BaseBlock): string {
  return partsOf(name)
    .toReversed()
    .map((relative) => setOf(relative).map(writePart).join('+'))
    .join(',')
}

function writePart(part: BaseBlock): string {
  const [type, value] = partsOf(part)
  const oid = oidOf(type)
  const text = (value as { valueBlock?: { value?: unknown } } | undefined)?.valueBlock?.value
  return `${keywords[oid] ?? oid}=${typeof text === 'string' ? escapeValue(text) : '#'}`
}

// RFC 4514, 2.4: these anywhere, a space or number sign at the start, a space at the end.
const escapeValue = (text: string): string =>
  text.replaceAll(/[,+"\\<>;=\0]|^[ #]| $/g, (character) => `\\${character}`)

/** X.690 tags of the types of strings: UTF8String, NumericString, PrintableString, TeletexString, IA5String, VisibleString, BMPString. */
const stringTags: ReadonlySet<number> = new Set([12, 18, 19, 20, 22, 26, 30])

/**
 * The relative names, the most general first, each in a form in which those that RFC 5280, 7.1, calls the same are the
 * same string: case, width and spaces do not count, nor does the type of string.
 */
export const keysOfName = (name: BaseBlock): string[] => partsOf(name).map(keyOfRelative)

/** Of one relative name, whatever the set that its parts stand in is tagged with. */
export const keyOfRelative = (relative: BaseBlock): string =>
  JSON.stringify(members(relative).map(keyOfPart).toSorted())

function keyOfPart(part: BaseBlock): string {
  const [type, value] = partsOf(part)
  const text = (value as { valueBlock?: { value?: unknown } } | undefined)?.valueBlock?.value
  const isText = typeof text === 'string' && stringTags.has(value?.idBlock.tagNumber ?? 0)
  if (!isText) return `${oidOf(type)}#${value === undefined ? '' : Buffer.from(rawOf(value)).toString('hex')}`
  // RFC 4518, 2.2 to 2.6.1, as far as case folding and compatibility forms of Unicode go.
  return `${oidOf(type)}=${text.normalize('NFKC').toLowerCase().trim().replaceAll(/\s+/g, ' ')}`
}

export const sameName = (one: readonly string[], other: readonly string[]): boolean =>
  one.length === other.length && one.every((key, index) => key === other[index])
