/** Distinguished names as text (RFC 4514). */
import type { BaseBlock } from 'asn1js'
import { oidOf, partsOf, setOf } from '../ber.ts'

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
