/** Who an identity speaks for: the parts of an X.509 name (X.520, RFC 5280 appendix A) and an e-mail address. */
import { type BaseBlock, BaseStringBlock, IA5String, PrintableString, type Sequence, Utf8String } from 'asn1js'
import { members, oid, oidOf, sequence, set } from '../ber.ts'
import { IdentityError } from './errors.ts'

export interface Subject {
  /** Who signs: a person, a shop or a desk. At most 64 characters, as are organization and unit. */
  commonName: string
  organization?: string
  unit?: string
  /** ISO 3166-1 alpha-2, capitals. */
  country?: string
  /** Goes into the subject alternative name (RFC 5280, 4.2.1.6), not into the name. ASCII. */
  email?: string
}

const types = { country: '2.5.4.6', organization: '2.5.4.10', unit: '2.5.4.11', commonName: '2.5.4.3' } as const

/** The upper bounds ub-common-name, ub-organization-name and ub-organizational-unit-name of RFC 5280. */
const longestName = 64
/** The upper bound ub-emailaddress-length of RFC 5280. */
const longestEmail = 255

/** Throws IdentityError `subject-unusable` for the first part that a certificate cannot hold. */
export function holdSubject(subject: Subject): void {
  holdText('common name', subject.commonName)
  if (subject.organization !== undefined) holdText('organization', subject.organization)
  if (subject.unit !== undefined) holdText('unit', subject.unit)
  if (subject.country !== undefined && !/^[A-Z]{2}$/.test(subject.country))
    throw unusable(`"${subject.country}" is no country code`, 'Give the two capital letters of ISO 3166-1.')
  if (subject.email !== undefined) holdEmail(subject.email)
}

function holdText(part: string, text: string): void {
  if (text.trim() === '') throw unusable(`the ${part} is empty`, `Give the ${part} in words.`)
  if (text !== text.trim()) throw unusable(`the ${part} begins or ends with a space`, 'Take the space away.')
  if ([...text].length > longestName)
    throw unusable(`the ${part} has more than ${longestName} characters`, 'Shorten it: a certificate holds no more.')
  // Invisible and direction-changing characters make one name look like another.
  if (!text.isWellFormed() || /[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u.test(text))
    throw unusable(`the ${part} holds a character that does not show`, 'Type it anew instead of pasting it.')
}

function holdEmail(email: string): void {
  if (email.length <= longestEmail && /^[!-?A-~]+@[a-z0-9-]+(\.[a-z0-9-]+)+$/i.test(email)) return
  throw unusable(`"${email}" is no e-mail address that a certificate can hold`, 'Write it as name@example.org.')
}

const unusable = (message: string, mend: string) => new IdentityError('subject-unusable', message, mend)

/** The name as RFC 5280 orders it, from the general to the particular, each part a set of its own. */
export function encodeName({ country, organization, unit, commonName }: Subject): Sequence {
  const parts: [string, BaseBlock | null][] = [
    [types.country, country === undefined ? null : new PrintableString({ value: country })],
    [types.organization, organization === undefined ? null : new Utf8String({ value: organization })],
    [types.unit, unit === undefined ? null : new Utf8String({ value: unit })],
    [types.commonName, new Utf8String({ value: commonName })],
  ]
  return sequence(...parts.flatMap(([type, value]) => (value === null ? [] : [set(sequence(oid(type), value))])))
}

const labels: Readonly<Record<string, string>> = {
  [types.country]: 'country',
  [types.organization]: 'organization',
  [types.unit]: 'unit',
  [types.commonName]: 'common name',
  '2.5.4.5': 'serial number',
  '2.5.4.7': 'locality',
  '2.5.4.8': 'state or province',
  '2.5.4.97': 'organization identifier',
  '2.5.4.4': 'surname',
  '2.5.4.42': 'given name',
  '1.2.840.113549.1.9.1': 'e-mail',
}

export interface NamePart {
  /** In words where the attribute is a usual one, else its object identifier. */
  label: string
  text: string
}

/** The parts of any name as they stand in it; the label of an attribute unknown here is its object identifier. */
export const readName = (name: BaseBlock): NamePart[] =>
  readParts(name).map(({ type, text }) => ({ label: labels[type] ?? type, text }))

/** The subject that a request repeats: the parts known here, the first of each; null where it has no common name. */
export function readSubject(name: BaseBlock, email: string | null): Subject | null {
  const parts = readParts(name)
  const find = (wanted: string) => parts.find(({ type }) => type === wanted)?.text
  const commonName = find(types.commonName)
  if (commonName === undefined) return null
  const [organization, unit, country] = [find(types.organization), find(types.unit), find(types.country)]
  return {
    commonName,
    ...(organization === undefined ? {} : { organization }),
    ...(unit === undefined ? {} : { unit }),
    ...(country === undefined ? {} : { country }),
    ...(email === null ? {} : { email }),
  }
}

/** Name ::= SEQUENCE OF SET OF SEQUENCE { type OBJECT IDENTIFIER, value }; values that are no text are left out. */
function readParts(name: BaseBlock): { type: string; text: string }[] {
  return members(name)
    .flatMap(members)
    .flatMap((part) => {
      const [type, value] = members(part)
      return value instanceof BaseStringBlock ? [{ type: oidOf(type), text: value.getValue() }] : []
    })
}

/** GeneralName rfc822Name [1] IMPLICIT IA5String. */
export function encodeEmail(email: string): IA5String {
  const name = new IA5String({ value: email })
  name.idBlock.tagClass = 3
  name.idBlock.tagNumber = 1
  return name
}
