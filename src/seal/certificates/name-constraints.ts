/**
 * Name constraints (RFC 5280, 4.2.1.10): whom an authority may vouch for, and whom not. A kind of name that is not compared
 * here (otherName and the like) is refused wherever an authority limits it and a certificate beneath bears it.
 */
import type { BaseBlock } from 'asn1js'
import { isTagged, members, parseBer, partsOf } from '../ber.ts'
import { type Certificate, extensionOids } from './certificate.ts'
import { type GeneralName, readGeneralName, readGeneralNames } from './general-name.ts'
import { sameName } from './name.ts'

/** PKCS #9: the address that a subject bears within its name. */
const emailAddress = '1.2.840.113549.1.9.1'

interface Limits {
  permitted: readonly GeneralName[]
  excluded: readonly GeneralName[]
}

/** What an authority on the path, from the signer upwards, may not vouch for; null where there is nothing. */
export function findNameFault(path: readonly Certificate[]): string | null {
  for (const [index, authority] of path.entries()) {
    const limits = readLimits(authority)
    if (limits === null) continue
    // Self-issued certificates are free of it, but for the last (RFC 5280, 6.1.3 b and c).
    const below = path.slice(0, index).filter((one, at) => at === 0 || !sameName(one.subjectName, one.issuerName))
    for (const certificate of below) {
      const stray = namesOf(certificate).find((name) => !isWithin(name, limits))
      if (stray !== undefined)
        return `${authority.facts.subject} may not vouch for ${describe(stray, certificate)} (name constraints)`
    }
  }
  return null
}

function describe(name: GeneralName, { facts }: Certificate): string {
  if (name.form === 'directory') return facts.subject
  if (name.form === 'ip') return `the address ${Buffer.from(name.bytes).toString('hex')} of ${facts.subject}`
  return `${name.form === 'other' ? 'a name of another kind' : name.text} of ${facts.subject}`
}

function readLimits({ extensions }: Certificate): Limits | null {
  const extension = extensions.get(extensionOids.nameConstraints)
  if (extension === undefined) return null
  const limits = { permitted: [] as GeneralName[], excluded: [] as GeneralName[] }
  for (const part of partsOf(parseBer(extension.value))) {
    if (isTagged(part, 0)) limits.permitted = members(part).map(readSubtree)
    else if (isTagged(part, 1)) limits.excluded = members(part).map(readSubtree)
    else throw new RangeError('name constraints hold something else than subtrees')
  }
  return limits
}

/** The depths of a subtree must be those that mean nothing: minimum 0, no maximum. */
function readSubtree(block: BaseBlock): GeneralName {
  const [base, ...depths] = partsOf(block)
  if (base === undefined || depths.length > 0) throw new RangeError('name constraints with depths are not understood')
  return readGeneralName(base)
}

/** All names that a certificate bears. An address in the subject counts where no other address is given. */
function namesOf({ extensions, subjectName }: Certificate): GeneralName[] {
  const alternative = extensions.get(extensionOids.subjectAltName)
  const names = alternative === undefined ? [] : readGeneralNames(parseBer(alternative.value))
  if (subjectName.length === 0) return names
  const all: GeneralName[] = [{ form: 'directory', keys: subjectName }, ...names]
  return names.some(({ form }) => form === 'email') ? all : [...all, ...addressesIn(subjectName)]
}

function addressesIn(subject: readonly string[]): GeneralName[] {
  const parts = subject.flatMap((relative) => JSON.parse(relative) as string[])
  return parts
    .filter((part) => part.startsWith(`${emailAddress}=`))
    .map((part) => ({ form: 'email', text: part.slice(emailAddress.length + 1) }))
}

function isWithin(name: GeneralName, { permitted, excluded }: Limits): boolean {
  const ofKind = (limit: GeneralName) =>
    limit.form === name.form && (limit.form !== 'other' || limit.tag === (name as { tag?: number }).tag)
  const allowed = permitted.filter(ofKind)
  const refused = excluded.filter(ofKind)
  if (allowed.length + refused.length === 0) return true
  // What cannot be compared is neither within what is permitted nor surely outside of what is excluded.
  const answers = (limits: readonly GeneralName[]) => limits.map((limit) => lies(name, limit))
  const isRefused = answers(refused).some((answer) => answer !== false)
  return !isRefused && (allowed.length === 0 || answers(allowed).some((answer) => answer === true))
}

/** Whether a name lies in the subtree of another of its kind; null where that cannot be told. */
function lies(name: GeneralName, limit: GeneralName): boolean | null {
  if (name.form === 'directory' && limit.form === 'directory')
    return sameName(name.keys.slice(0, limit.keys.length), limit.keys)
  if (name.form === 'ip' && limit.form === 'ip') return liesInNetwork(name.bytes, limit.bytes)
  if (name.form === 'dns' && limit.form === 'dns') return isHostIn(name.text, limit.text)
  if (name.form === 'email' && limit.form === 'email') return isMailboxIn(name.text, limit.text)
  if (name.form === 'uri' && limit.form === 'uri') return isAddressIn(name.text, limit.text)
  return null
}

function liesInNetwork(address: Uint8Array, network: Uint8Array): boolean | null {
  if (network.length !== 8 && network.length !== 32) return null
  const half = network.length / 2
  if (address.length !== half) return address.length === 4 || address.length === 16 ? false : null
  return address.every((byte, at) => {
    const mask = network[half + at] ?? 0
    return (byte & mask) === ((network[at] ?? 0) & mask)
  })
}

const lower = (text: string): string => text.toLowerCase().replace(/\.$/, '')

/** Labels may be added at the left; an empty limit holds every host. */
function isHostIn(host: string, limit: string): boolean {
  const [own, outer] = [lower(host), lower(limit)]
  if (outer === '') return true
  return own === outer || own.endsWith(outer.startsWith('.') ? outer : `.${outer}`)
}

/** Exactly this host, or with a full stop before it, those within and not itself (RFC 5280, 4.2.1.10). */
function isExactHost(host: string, limit: string): boolean {
  const [own, outer] = [lower(host), lower(limit)]
  return outer.startsWith('.') ? own.endsWith(outer) && own !== outer : own === outer
}

/** A limit is a mailbox, a host, or with a full stop before it a domain. Before the @, capitals cannot be told. */
function isMailboxIn(mailbox: string, limit: string): boolean | null {
  const at = mailbox.lastIndexOf('@')
  if (at < 1) return null
  const [box, host] = [mailbox.slice(0, at), mailbox.slice(at + 1)]
  const limited = limit.lastIndexOf('@')
  if (limited >= 0) {
    const own = limit.slice(0, limited)
    if (lower(host) !== lower(limit.slice(limited + 1)) || lower(box) !== lower(own)) return false
    return box === own ? true : null
  }
  return limit === '' || isExactHost(host, limit)
}

/** The host of an address; an address without one, or with a number for one, cannot be told. */
function isAddressIn(address: string, limit: string): boolean | null {
  const [, authority] = /^[a-z][a-z0-9+.-]*:\/\/([^/?#]*)/i.exec(address) ?? []
  const host = authority?.replace(/^.*@/, '').replace(/:\d*$/, '')
  if (host === undefined || host === '' || /^\[|^[\d.]+$/.test(host)) return null
  return isExactHost(host, limit)
}
