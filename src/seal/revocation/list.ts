/**
 * Revocation lists (RFC 5280, section 5), read: whose they are, what they are about, and what they say. Whether they are
 * signed by somebody who may is for `judge.ts`.
 *
 *     CertificateList ::= SEQUENCE { tbsCertList, signatureAlgorithm, signature BIT STRING }
 *     TBSCertList     ::= SEQUENCE { version INTEGER OPTIONAL, signature, issuer Name, thisUpdate Time,
 *                           nextUpdate Time OPTIONAL, revokedCertificates SEQUENCE OF SEQUENCE { serial, date,
 *                           crlEntryExtensions OPTIONAL } OPTIONAL, crlExtensions [0] EXPLICIT OPTIONAL }
 */
import {
  type BaseBlock,
  Boolean as BooleanBlock,
  GeneralizedTime,
  Integer,
  OctetString,
  Sequence,
  UTCTime,
} from 'asn1js'
import { isTagged, oidOf, parseBer, partsOf } from '../ber.ts'
import { readScheme, type SignatureScheme } from '../certificates/algorithms.ts'
import { derBytes, type Extension, octetsOfBits, readExtensions, same } from '../certificates/certificate.ts'
import { readGeneralNames } from '../certificates/general-name.ts'
import { keysOfName, writeName } from '../certificates/name.ts'
import { findDerFault } from '../der.ts'
import { type ListScope, readScope } from './scope.ts'

/** What is said of one certificate. */
export interface Revocation {
  date: Date
  /** Since when it is known or suspected to be invalid (RFC 5280, 5.3.2); null where that is not said. */
  invalidSince: Date | null
  /** CRLReason (RFC 5280, 5.3.1); null where none is given. */
  reason: number | null
}

interface ListEntry extends Revocation {
  /** Of the authority whose certificate it is. */
  issuer: readonly string[]
  /** DER of the number, hexadecimal. */
  serial: string
}

export interface RevocationList {
  /** The authority that made the list. */
  issuer: readonly string[]
  /** The same for people. */
  issuerText: string
  from: Date
  /** When the next one is due; null where that is not said. */
  until: Date | null
  entries: readonly ListEntry[]
  /** CRL number; null where there is none. */
  number: bigint | null
  /** Of a list of changes (delta): the number of the list that they are made to. */
  base: bigint | null
  scope: ListScope
  /** Authority key identifier, hexadecimal; null where there is none. */
  keyIdentifier: string | null
  /** Certificates that expired since then stay on the list (ISO/IEC 9594-8, expiredCertsOnCRL). */
  keepsExpiredSince: Date | null
  /** Critical extensions, of the list or an entry, that are not understood: it may not be used then (RFC 5280, 5.2, 5.3). */
  unknownCritical: readonly string[]
  signed: Uint8Array
  scheme: SignatureScheme | null
  signature: Uint8Array
}

const oids = {
  issuerAlternativeName: '2.5.29.18',
  number: '2.5.29.20',
  reason: '2.5.29.21',
  invalidityDate: '2.5.29.24',
  deltaIndicator: '2.5.29.27',
  issuingDistributionPoint: '2.5.29.28',
  certificateIssuer: '2.5.29.29',
  authorityKeyIdentifier: '2.5.29.35',
  freshestList: '2.5.29.46',
  expiredOnList: '2.5.29.60',
} as const

const ofLists: ReadonlySet<string> = new Set([
  oids.issuerAlternativeName,
  oids.number,
  oids.deltaIndicator,
  oids.issuingDistributionPoint,
  oids.authorityKeyIdentifier,
  oids.freshestList,
  oids.expiredOnList,
])
const ofEntries: ReadonlySet<string> = new Set([oids.reason, oids.invalidityDate, oids.certificateIssuer])

const isTime = (block: BaseBlock | undefined): block is UTCTime | GeneralizedTime =>
  block instanceof UTCTime || block instanceof GeneralizedTime

export function timeOf(block: BaseBlock | undefined): Date {
  if (isTime(block)) return block.toDate()
  throw new RangeError('a time is missing')
}

/** What no signature covers must have one encoding alone. */
export function holdDer(der: Uint8Array): void {
  const fault = findDerFault(der)
  if (fault !== null) throw new RangeError(`it is not DER: ${fault}`)
}

/** Throws RangeError, and what asn1js throws, for what is no revocation list. */
export function parseList(der: Uint8Array): RevocationList {
  holdDer(der)
  const [tbs, algorithm, bits, ...beyond] = partsOf(parseBer(der))
  const fields = partsOf(tbs)
  const version = fields[0] instanceof Integer ? fields.shift() : undefined
  const [inner, name, thisUpdate, ...rest] = fields
  if (name === undefined || beyond.length > 0) throw new RangeError('a revocation list has three parts')
  if (!same(derBytes(inner), derBytes(algorithm)))
    throw new RangeError('the list names one algorithm within and another beside its signature')
  const nextUpdate = isTime(rest[0]) ? rest.shift() : undefined
  const revoked = rest[0] instanceof Sequence ? rest.shift() : undefined
  const extensions = isTagged(rest[0], 0) ? readExtensions(rest.shift()) : new Map<string, Extension>()
  if (rest.length > 0) throw new RangeError('more follows the revocation list')
  if (extensions.size > 0 && version === undefined) throw new RangeError('a list of version 1 has no extensions')
  const issuer = keysOfName(name)
  const scope = readScope(extensions.get(oids.issuingDistributionPoint)?.value, issuer)
  const { entries, unknown } = readEntries(revoked, issuer, scope)
  const critical = [...extensions].filter(([oid, one]) => one.critical && !ofLists.has(oid)).map(([oid]) => oid)
  const expired = extensions.get(oids.expiredOnList)
  return {
    issuer,
    issuerText: writeName(name),
    from: timeOf(thisUpdate),
    until: nextUpdate === undefined ? null : timeOf(nextUpdate),
    entries,
    number: readNumber(extensions.get(oids.number)),
    base: readNumber(extensions.get(oids.deltaIndicator)),
    scope,
    keyIdentifier: hexOf(extensions.get(oids.authorityKeyIdentifier)?.value),
    keepsExpiredSince: expired === undefined ? null : timeOf(parseBer(expired.value)),
    unknownCritical: [...critical, ...unknown],
    signed: derBytes(tbs),
    scheme: readScheme(algorithm),
    signature: octetsOfBits(bits),
  }
}

const hexOf = (bytes: Uint8Array | undefined): string | null =>
  bytes === undefined ? null : Buffer.from(bytes).toString('hex')

function readNumber(extension: Extension | undefined): bigint | null {
  if (extension === undefined) return null
  const number = parseBer(extension.value)
  if (number instanceof Integer) return number.toBigInt()
  throw new RangeError('the number of the list is none')
}

/** In an indirect list an entry that names an authority speaks for those after it too (RFC 5280, 5.3.3). */
function readEntries(revoked: BaseBlock | undefined, issuer: readonly string[], scope: ListScope) {
  const entries: ListEntry[] = []
  const unknown = new Set<string>()
  let current = issuer
  for (const block of revoked === undefined ? [] : partsOf(revoked)) {
    const [serial, date, extensionBlock, ...beyond] = partsOf(block)
    if (beyond.length > 0) throw new RangeError('an entry of the list has too many parts')
    const extensions = readEntryExtensions(extensionBlock)
    for (const [oid, { critical }] of extensions) if (critical && !ofEntries.has(oid)) unknown.add(oid)
    const named = extensions.get(oids.certificateIssuer)
    if (named !== undefined) {
      if (!scope.isIndirect) throw new RangeError('a list of one authority has entries of another')
      current = readIssuer(named)
    }
    entries.push({
      issuer: current,
      serial: Buffer.from(derBytes(serial)).toString('hex'),
      date: timeOf(date),
      reason: readReason(extensions.get(oids.reason)?.value),
      invalidSince: readInvalidity(extensions.get(oids.invalidityDate)?.value),
    })
  }
  return { entries, unknown }
}

/** As `readExtensions`, without the tag around them. */
export function readEntryExtensions(block: BaseBlock | undefined): Map<string, Extension> {
  const found = new Map<string, Extension>()
  for (const part of block === undefined ? [] : partsOf(block)) {
    const [id, ...rest] = partsOf(part)
    const value = rest.at(-1)
    const oid = oidOf(id)
    if (!(value instanceof OctetString) || found.has(oid)) throw new RangeError(`the extension ${oid} is malformed`)
    const critical = rest.length === 2 && rest[0] instanceof BooleanBlock && rest[0].getValue()
    found.set(oid, { critical, value: new Uint8Array(value.getValue()) })
  }
  return found
}

function readIssuer({ value }: Extension): readonly string[] {
  const name = readGeneralNames(parseBer(value)).find(({ form }) => form === 'directory')
  if (name?.form !== 'directory') throw new RangeError('an entry of the list names no authority')
  return name.keys
}

/** ENUMERATED. */
function readReason(value: Uint8Array | undefined): number | null {
  if (value === undefined) return null
  if (value.length === 3 && value[0] === enumerated) return value[2] ?? null
  throw new RangeError('a reason of revocation is none')
}

const enumerated = 0x0a

const readInvalidity = (value: Uint8Array | undefined): Date | null =>
  value === undefined ? null : timeOf(parseBer(value))
