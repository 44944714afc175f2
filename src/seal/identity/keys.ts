/** The kinds of keys that sign a seal, and what they sign with. */
import { generateKeyPair, type KeyObject, sign } from 'node:crypto'
import { promisify } from 'node:util'
import type { SigningAlgorithm } from '../signer.ts'
import { IdentityError } from './errors.ts'

export const keyKinds = ['rsa-3072', 'ecdsa-p256'] as const
export type KeyKind = (typeof keyKinds)[number]

/** A new private key, from the system's randomness. */
export async function createKey(kind: KeyKind): Promise<KeyObject> {
  const make = promisify(generateKeyPair)
  const pair =
    kind === 'rsa-3072' ? await make('rsa', { modulusLength: 3072 }) : await make('ec', { namedCurve: 'P-256' })
  return pair.privateKey
}

const curves: Readonly<Record<string, SigningAlgorithm>> = { prime256v1: 'ecdsa-p256', secp384r1: 'ecdsa-p384' }

/** NIST SP 800-131A revision 2 disallows shorter moduli for signing; longer ones than 8192 only cost time. */
const rsaBits = { least: 2048, most: 8192 }

/** How a key signs. Throws IdentityError `key-unsupported` for a kind or length that the seal cannot rest on. */
export function tellAlgorithm(key: KeyObject): SigningAlgorithm {
  const curve = key.asymmetricKeyDetails?.namedCurve
  const bits = key.asymmetricKeyDetails?.modulusLength ?? 0
  if (key.asymmetricKeyType === 'rsa' && bits >= rsaBits.least && bits <= rsaBits.most) return 'rsa-pkcs1'
  const algorithm = key.asymmetricKeyType === 'ec' && curve !== undefined ? curves[curve] : undefined
  if (algorithm !== undefined) return algorithm
  throw new IdentityError(
    'key-unsupported',
    `a key of the kind ${describeKey(key)} cannot sign a seal`,
    'Use RSA of 2048 to 8192 bits, or ECDSA on P-256 or P-384.',
  )
}

/** `rsa-3072`, `ecdsa-p256`, `ed25519`: kind and length, for people and for `SealCertificate.key`. */
export function describeKey(key: KeyObject): string {
  const { modulusLength, namedCurve } = key.asymmetricKeyDetails ?? {}
  if (modulusLength !== undefined) return `${key.asymmetricKeyType}-${modulusLength}`
  if (namedCurve === undefined) return String(key.asymmetricKeyType)
  return curves[namedCurve] ?? (namedCurve === 'secp521r1' ? 'ecdsa-p521' : `ecdsa-${namedCurve}`)
}

/** SHA-384 belongs to P-384 (RFC 5753, 9), SHA-256 to all others. */
export const digestOf = (algorithm: SigningAlgorithm): 'sha-256' | 'sha-384' =>
  algorithm === 'ecdsa-p384' ? 'sha-384' : 'sha-256'

/** Digests and signs: RSASSA-PKCS1-v1_5, or ECDSA in DER. */
export function signWith(key: KeyObject, bytes: Uint8Array): Promise<Uint8Array> {
  const digest = digestOf(tellAlgorithm(key)).replace('-', '')
  return new Promise((resolve, reject) => {
    sign(digest, bytes, key, (error, signature) => (error ? reject(error) : resolve(new Uint8Array(signature))))
  })
}
