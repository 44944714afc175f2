/** Certificates (X.509 v3, RFC 5280), read strictly: what a verifier needs, and nothing taken on faith. */
import { createHash, type KeyObject, X509Certificate } from 'node:crypto'
import { type BaseBlock, BitString, Boolean as BooleanBlock, OctetString } from 'asn1js'
import type { SealCertificate } from '../../facts/seal.ts'
import { numberOf, octetStringOf, oidOf, only, parseBer, partsOf, rawOf } from '../ber.ts'
import { findDerFault } from '../der.ts'
import { describeKey } from '../identity/keys.ts'
import { readScheme, type SignatureScheme } from './algorithms.ts'
import { keysOfName, writeName } from './name.ts'

export interface Certificate {
  der: Uint8Array
  /** DER of the names, for comparison. */
  subject: Uint8Array
  issuer: Uint8Array
  /** The same in the form in which they compare: `sameName`. */
  subjectName: readonly string[]
  issuerName: readonly string[]
  /** DER of the INTEGER. */
  serial: Uint8Array
  notBefore: Date
  notAfter: Date
  key: KeyObject
  /** What the signature covers. */
  signed: Uint8Array
  scheme: SignatureScheme | null
  signature: Uint8Array
  /** Basic constraints; false where there are none. */
  isAuthority: boolean
  /** Certificates that may follow below it, not counting the last; null for any number. */
  pathLength: number | null
  /** Names of RFC 5280, 4.2.1.3; null where any use is allowed. */
  keyUsage: ReadonlySet<KeyUsage> | null
  /** Object identifiers; null where any purpose is allowed. */
  purposes: readonly string[] | null
  purposesCritical: boolean
  keyIdentifier: Uint8Array | null
  /** Object identifiers of critical extensions that are not understood here. */
  unknownCritical: readonly string[]
  /** All, by object identifier. */
  extensions: ReadonlyMap<string, Extension>
  facts: SealCertificate
}

const keyUsages = [
  'digitalSignature',
  'nonRepudiation',
  'keyEncipherment',
  'dataEncipherment',
  'keyAgreement',
  'keyCertSign',
  'cRLSign',
] as const
export type KeyUsage = (typeof keyUsages)[number]

/** RFC 5280, 4.2.1: those that are understood, here or where the path or the revocation is looked at. */
export const extensionOids = {
  subjectKeyIdentifier: '2.5.29.14',
  keyUsage: '2.5.29.15',
  subjectAltName: '2.5.29.17',
  basicConstraints: '2.5.29.19',
  nameConstraints: '2.5.29.30',
  distributionPoints: '2.5.29.31',
  certificatePolicies: '2.5.29.32',
  policyMappings: '2.5.29.33',
  authorityKeyIdentifier: '2.5.29.35',
  policyConstraints: '2.5.29.36',
  extendedKeyUsage: '2.5.29.37',
  inhibitAnyPolicy: '2.5.29.54',
} as const

const understood: ReadonlySet<string> = new Set(Object.values(extensionOids))

/** Reads a certificate. Throws RangeError for what is none, is not DER, or says one thing within and another without. */
export function parseCertificate(der: Uint8Array): Certificate {
  const fault = findDerFault(der)
  if (fault !== null) throw new RangeError(`the certificate is not DER: ${fault}`)
  const x509 = parseX509(der)
  const [tbs, outerAlgorithm, signatureValue, ...rest] = partsOf(parseBer(der))
  if (tbs === undefined || rest.length > 0) throw new RangeError('a certificate has three parts')
  const fields = partsOf(tbs)
  // [0] version, which v1 leaves out.
  const offset = fields[0]?.idBlock.tagClass === 3 ? 1 : 0
  const [serial, innerAlgorithm, issuer, , subject] = fields.slice(offset)
  if (serial === undefined || issuer === undefined || subject === undefined || innerAlgorithm === undefined)
    throw new RangeError('a certificate lacks its names')
  if (!same(derBytes(innerAlgorithm), derBytes(outerAlgorithm)))
    throw new RangeError('the certificate names one algorithm within and another beside its signature')
  const extensions = readExtensions(fields.find(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === 3))
  const basic = extensions.get(extensionOids.basicConstraints)
  const purposes = extensions.get(extensionOids.extendedKeyUsage)
  const usage = extensions.get(extensionOids.keyUsage)
  const identifier = extensions.get(extensionOids.subjectKeyIdentifier)
  return {
    der,
    subject: derBytes(subject),
    issuer: derBytes(issuer),
    subjectName: keysOfName(subject),
    issuerName: keysOfName(issuer),
    serial: derBytes(serial),
    notBefore: x509.validFromDate,
    notAfter: x509.validToDate,
    key: x509.publicKey,
    signed: derBytes(tbs),
    scheme: readScheme(outerAlgorithm),
    signature: octetsOfBits(signatureValue),
    ...readConstraints(basic?.value),
    keyUsage: usage === undefined ? null : readUsage(usage.value),
    purposes: purposes === undefined ? null : partsOf(parseBer(purposes.value)).map(oidOf),
    purposesCritical: purposes?.critical ?? false,
    keyIdentifier: identifier === undefined ? null : octetStringOf(parseBer(identifier.value)),
    unknownCritical: [...extensions]
      .filter(([oid, { critical }]) => critical && !understood.has(oid))
      .map(([oid]) => oid),
    extensions,
    facts: describe(der, x509, writeName(subject), writeName(issuer)),
  }
}

function parseX509(der: Uint8Array): X509Certificate {
  try {
    const x509 = new X509Certificate(der)
    // A key of a kind that the system does not know throws here rather than later.
    void x509.publicKey.asymmetricKeyType
    return x509
  } catch (error) {
    throw new RangeError(`the certificate cannot be read (${(error as Error).message})`, { cause: error })
  }
}

function describe(der: Uint8Array, x509: X509Certificate, subject: string, issuer: string): SealCertificate {
  return {
    subject,
    issuer,
    serial: x509.serialNumber.toLowerCase(),
    fingerprint: createHash('sha256').update(der).digest('hex'),
    validFrom: writeTime(x509.validFromDate),
    validUntil: writeTime(x509.validToDate),
    key: describeKey(x509.publicKey),
  }
}

/** RFC 3339 in UTC, whole seconds. */
export const writeTime = (date: Date): string => date.toISOString().replace(/\.\d+Z$/, 'Z')

export const same = (one: Uint8Array, other: Uint8Array): boolean => Buffer.compare(one, other) === 0

export const derBytes = (block: BaseBlock | undefined): Uint8Array => {
  if (block === undefined) throw new RangeError('a value is missing')
  return rawOf(block)
}

export function bitsOf(block: BaseBlock | undefined): Uint8Array {
  if (!(block instanceof BitString)) throw new RangeError('a bit string is missing')
  return new Uint8Array(block.valueBlock.valueHexView)
}

/** A signature is whole octets: bits said to be unused would be bytes that nobody verifies. */
export function octetsOfBits(block: BaseBlock | undefined): Uint8Array {
  const octets = bitsOf(block)
  if (block instanceof BitString && block.valueBlock.unusedBits === 0) return octets
  throw new RangeError('the signature is not whole octets')
}

export interface Extension {
  critical: boolean
  value: Uint8Array
}

/** By object identifier; throws for one that stands twice (RFC 5280, 4.2). */
export function readExtensions(tagged: BaseBlock | undefined): Map<string, Extension> {
  const found = new Map<string, Extension>()
  if (tagged === undefined) return found
  for (const entry of partsOf(only(tagged))) {
    const [id, ...rest] = partsOf(entry)
    const oid = oidOf(id)
    const critical = rest.length === 2 && rest[0] instanceof BooleanBlock && rest[0].getValue()
    const value = rest.at(-1)
    if (!(value instanceof OctetString) || rest.length > 2) throw new RangeError(`the extension ${oid} is malformed`)
    if (found.has(oid)) throw new RangeError(`the extension ${oid} stands twice`)
    found.set(oid, { critical, value: new Uint8Array(value.getValue()) })
  }
  return found
}

function readConstraints(value: Uint8Array | undefined): Pick<Certificate, 'isAuthority' | 'pathLength'> {
  if (value === undefined) return { isAuthority: false, pathLength: null }
  const [first, second] = partsOf(parseBer(value))
  const isAuthority = first instanceof BooleanBlock && first.getValue()
  const length = first instanceof BooleanBlock ? second : first
  return { isAuthority, pathLength: length === undefined ? null : numberOf(length) }
}

function readUsage(value: Uint8Array): ReadonlySet<KeyUsage> {
  const bits = bitsOf(parseBer(value))[0] ?? 0
  return new Set(keyUsages.filter((_, index) => (bits & (0x80 >> index)) !== 0))
}
