/** Names of every kind that a certificate may bear or be limited to (GeneralName, RFC 5280, 4.2.1.6). */
import type { BaseBlock } from 'asn1js'
import { members, octetsOf, only } from '../ber.ts'
import { keysOfName } from './name.ts'

export type GeneralName =
  | { form: 'directory'; keys: readonly string[] }
  | { form: 'email' | 'dns' | 'uri'; text: string }
  /** The address; in a constraint, with the mask after it. */
  | { form: 'ip'; bytes: Uint8Array }
  /** `tag`: otherName [0], x400Address [3], ediPartyName [5], registeredID [8]. */
  | { form: 'other'; tag: number }

const texts: Readonly<Record<number, 'email' | 'dns' | 'uri'>> = { 1: 'email', 2: 'dns', 6: 'uri' }
const directoryTag = 4
const addressTag = 7

/** Throws RangeError for what is no GeneralName. */
export function readGeneralName(block: BaseBlock): GeneralName {
  const { tagClass, tagNumber } = block.idBlock
  if (tagClass !== 3) throw new RangeError('a name is not of a kind that names have')
  const form = texts[tagNumber]
  if (form !== undefined) return { form, text: Buffer.from(octetsOf(block)).toString('latin1') }
  if (tagNumber === directoryTag) return { form: 'directory', keys: keysOfName(only(block)) }
  if (tagNumber === addressTag) return { form: 'ip', bytes: octetsOf(block) }
  return { form: 'other', tag: tagNumber }
}

/** GeneralNames, under its own tag or an implicit one. */
export const readGeneralNames = (block: BaseBlock | undefined): GeneralName[] => members(block).map(readGeneralName)

/** For comparison: two names are the same where this is. */
export const keyOfGeneralName = (name: GeneralName): string =>
  name.form === 'ip' ? `ip:${Buffer.from(name.bytes).toString('hex')}` : JSON.stringify(name)
