/** Algorithms by their object identifiers, and the verification of a signature. */
import { constants, type KeyObject, verify } from 'node:crypto'
import type { BaseBlock } from 'asn1js'
import type { AlgorithmName } from '../../facts/algorithms.ts'
import { numberOf, oidOf, only, partsOf } from '../ber.ts'

export type DigestName = 'md5' | 'sha-1' | 'sha-256' | 'sha-384' | 'sha-512'

/** RFC 3370, 5754; the NIST arc 2.16.840.1.101.3.4.2. */
const digestOids: Readonly<Record<string, DigestName>> = {
  '1.2.840.113549.2.5': 'md5',
  '1.3.14.3.2.26': 'sha-1',
  '2.16.840.1.101.3.4.2.1': 'sha-256',
  '2.16.840.1.101.3.4.2.2': 'sha-384',
  '2.16.840.1.101.3.4.2.3': 'sha-512',
}

export const oidOfDigest = (name: DigestName): string =>
  Object.keys(digestOids).find((oid) => digestOids[oid] === name) as string

/** The name that node:crypto has for it. */
export const nodeDigest = (name: DigestName): string => name.replace('-', '')

const rsaEncryption = '1.2.840.113549.1.1.1'
const rsaPss = '1.2.840.113549.1.1.10'
const mgf1 = '1.2.840.113549.1.1.8'

/** Digest by signature algorithm: RFC 4055 and 5758. */
const signatureOids: Readonly<Record<string, { family: 'rsa' | 'ecdsa'; digest: DigestName }>> = {
  '1.2.840.113549.1.1.4': { family: 'rsa', digest: 'md5' },
  '1.2.840.113549.1.1.5': { family: 'rsa', digest: 'sha-1' },
  '1.2.840.113549.1.1.11': { family: 'rsa', digest: 'sha-256' },
  '1.2.840.113549.1.1.12': { family: 'rsa', digest: 'sha-384' },
  '1.2.840.113549.1.1.13': { family: 'rsa', digest: 'sha-512' },
  '1.2.840.10045.4.1': { family: 'ecdsa', digest: 'sha-1' },
  '1.2.840.10045.4.3.2': { family: 'ecdsa', digest: 'sha-256' },
  '1.2.840.10045.4.3.3': { family: 'ecdsa', digest: 'sha-384' },
  '1.2.840.10045.4.3.4': { family: 'ecdsa', digest: 'sha-512' },
}

export interface SignatureScheme {
  family: 'rsa' | 'rsa-pss' | 'ecdsa'
  digest: DigestName
  /** Of PSS, in bytes. */
  saltLength: number | null
}

/** The digest of an AlgorithmIdentifier; null for one that is unknown or has parameters that it cannot have. */
export function readDigest(algorithm: BaseBlock | undefined): DigestName | null {
  const [oid, parameters, ...rest] = partsOf(algorithm)
  if (rest.length > 0 || !isAbsentOrNull(parameters)) return null
  return digestOids[oidOf(oid)] ?? null
}

/** X.690 tag 5: NULL. */
const isAbsentOrNull = (parameters: BaseBlock | undefined): boolean =>
  parameters === undefined || (parameters.idBlock.tagClass === 1 && parameters.idBlock.tagNumber === 5)

/**
 * The scheme of a signature's AlgorithmIdentifier; null for one that is unknown or has parameters that it cannot have.
 * `digest`: what CMS states beside it, for the identifiers that name none.
 */
export function readScheme(algorithm: BaseBlock | undefined, digest: DigestName | null = null): SignatureScheme | null {
  const [first, parameters, ...rest] = partsOf(algorithm)
  if (rest.length > 0) return null
  const oid = oidOf(first)
  if (oid === rsaPss) return readPss(parameters)
  if (oid === rsaEncryption && digest !== null && isAbsentOrNull(parameters))
    return { family: 'rsa', digest, saltLength: null }
  const known = signatureOids[oid]
  if (known === undefined) return null
  const fits = known.family === 'rsa' ? isAbsentOrNull(parameters) : parameters === undefined
  return fits ? { ...known, saltLength: null } : null
}

/** RSASSA-PSS-params (RFC 4055, 3.1): the mask must use the digest of the signature. */
function readPss(parameters: BaseBlock | undefined): SignatureScheme | null {
  if (parameters === undefined) return null
  const fields = new Map(partsOf(parameters).map((field) => [field.idBlock.tagNumber, only(field)]))
  const hash = fields.get(0)
  const digest = hash === undefined ? 'sha-1' : readDigest(hash)
  const [maskOid, maskDigest] = fields.get(1) === undefined ? [] : partsOf(fields.get(1))
  const mask = maskOid === undefined ? 'sha-1' : oidOf(maskOid) === mgf1 ? readDigest(maskDigest) : null
  const salt = fields.get(2)
  const trailer = fields.get(3)
  if (digest === null || mask !== digest || (trailer !== undefined && numberOf(trailer) !== 1)) return null
  return { family: 'rsa-pss', digest, saltLength: salt === undefined ? 20 : numberOf(salt) }
}

const curves: Readonly<Record<string, AlgorithmName>> = {
  prime256v1: 'ecdsa-p256',
  secp384r1: 'ecdsa-p384',
  secp521r1: 'ecdsa-p521',
}

/** What the policy knows the key and scheme by, and the length of an RSA modulus; null where they do not fit together. */
export function nameAlgorithm(
  scheme: SignatureScheme,
  key: KeyObject,
): { name: AlgorithmName; bits: number | null } | null {
  const { modulusLength = null, namedCurve = '' } = key.asymmetricKeyDetails ?? {}
  const isRsa = key.asymmetricKeyType === 'rsa' || key.asymmetricKeyType === 'rsa-pss'
  if (scheme.family === 'ecdsa') {
    const name = key.asymmetricKeyType === 'ec' ? curves[namedCurve] : undefined
    return name === undefined ? null : { name, bits: null }
  }
  if (!isRsa || (scheme.family === 'rsa' && key.asymmetricKeyType === 'rsa-pss')) return null
  return { name: scheme.family === 'rsa' ? 'rsa-pkcs1' : 'rsa-pss', bits: modulusLength }
}

/** Does the signature by `key` cover `data`? False, never thrown, for whatever is wrong with it. */
export function verifySignature(
  scheme: SignatureScheme,
  key: KeyObject,
  data: Uint8Array,
  signature: Uint8Array,
): boolean {
  if (nameAlgorithm(scheme, key) === null) return false
  const padding =
    scheme.family === 'rsa-pss'
      ? { padding: constants.RSA_PKCS1_PSS_PADDING, saltLength: scheme.saltLength ?? 20 }
      : scheme.family === 'rsa'
        ? { padding: constants.RSA_PKCS1_PADDING }
        : { dsaEncoding: 'der' as const }
  try {
    return verify(nodeDigest(scheme.digest), data, { key, ...padding }, signature)
  } catch {
    return false
  }
}
