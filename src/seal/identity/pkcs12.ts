/**
 * PKCS#12 (RFC 7292): a private key and its certificates in one file under a passphrase.
 *
 * ```
 * PFX ::= SEQUENCE { version 3, authSafe ContentInfo, macData MacData OPTIONAL }
 * authSafe, of type data, holds SEQUENCE OF ContentInfo, each data or encryptedData, each of which holds
 * SafeContents ::= SEQUENCE OF SEQUENCE { bagId, bagValue [0] EXPLICIT, bagAttributes SET OPTIONAL }
 * MacData ::= SEQUENCE { mac DigestInfo, macSalt OCTET STRING, iterations INTEGER DEFAULT 1 }
 * ```
 */
import { createHash, createHmac, createPrivateKey, type KeyObject, randomBytes, timingSafeEqual } from 'node:crypto'
import { type BaseBlock, Null } from 'asn1js'
import {
  bmp,
  derOf,
  explicit,
  implicitOctets,
  integer,
  members,
  numberOf,
  octets,
  octetsOf,
  oid,
  oidOf,
  only,
  parseBer,
  rawOf,
  sequence,
  set,
} from '../ber.ts'
import {
  decrypt,
  encrypt,
  holdIterations,
  makePbmac1,
  unsupported,
  usualIterations,
  wrongPassphrase,
} from './encryption.ts'
import { IdentityError } from './errors.ts'
import { derivePkcs12Key, type Pkcs12Digest } from './pkcs12-key.ts'

const oids = {
  data: '1.2.840.113549.1.7.1',
  encryptedData: '1.2.840.113549.1.7.6',
  keyBag: '1.2.840.113549.1.12.10.1.1',
  shroudedKeyBag: '1.2.840.113549.1.12.10.1.2',
  certificateBag: '1.2.840.113549.1.12.10.1.3',
  safeContentsBag: '1.2.840.113549.1.12.10.1.6',
  x509Certificate: '1.2.840.113549.1.9.22.1',
  friendlyName: '1.2.840.113549.1.9.20',
  localKeyId: '1.2.840.113549.1.9.21',
  sha256: '2.16.840.1.101.3.4.2.1',
  pbmac1: '1.2.840.113549.1.5.14',
} as const

const macDigests: Readonly<Record<string, Pkcs12Digest>> = {
  '1.3.14.3.2.26': 'sha1',
  [oids.sha256]: 'sha256',
  '2.16.840.1.101.3.4.2.2': 'sha384',
  '2.16.840.1.101.3.4.2.3': 'sha512',
}

/** Safe contents may hold safe contents; no program nests them deeper. */
const deepest = 4

export interface Contents {
  keys: KeyObject[]
  /** DER of X.509 certificates, as they lie in the file. */
  certificates: Uint8Array[]
}

/**
 * Writes a key with its certificate and issuers: PBES2 with AES-256 and PBKDF2 by HMAC-SHA-256, MAC by SHA-256, both of
 * `iterations` rounds. `label` is the name that other programs show.
 */
export async function packPkcs12(
  { key, certificate, issuers }: { key: KeyObject; certificate: Uint8Array; issuers: readonly Uint8Array[] },
  label: string,
  passphrase: string,
  iterations: number = usualIterations,
): Promise<Uint8Array> {
  const ownId = createHash('sha1').update(certificate).digest()
  const attributes = set(
    sequence(oid(oids.friendlyName), set(bmp(label))),
    sequence(oid(oids.localKeyId), set(octets(ownId))),
  )
  const certificates = await encrypt(
    derOf(sequence(certificateBag(certificate, attributes), ...issuers.map((issuer) => certificateBag(issuer)))),
    passphrase,
    iterations,
  )
  const shrouded = await encrypt(key.export({ type: 'pkcs8', format: 'der' }), passphrase, iterations)
  const keyValue = sequence(shrouded.algorithm, octets(shrouded.ciphertext))
  const safe = derOf(
    sequence(
      encryptedContent(certificates.algorithm, certificates.ciphertext),
      plainContent(derOf(sequence(bag(oids.shroudedKeyBag, keyValue, attributes)))),
    ),
  )
  const salt = randomBytes(16)
  const mac = makeMac(safe, { digest: 'sha256', passphrase, salt, iterations })
  const digestInfo = sequence(sequence(oid(oids.sha256), new Null()), octets(mac))
  return derOf(sequence(integer(3), plainContent(safe), sequence(digestInfo, octets(salt), integer(iterations))))
}

const bag = (type: string, value: BaseBlock, attributes?: BaseBlock): BaseBlock =>
  sequence(oid(type), explicit(0, value), ...(attributes === undefined ? [] : [attributes]))

const certificateBag = (der: Uint8Array, attributes?: BaseBlock): BaseBlock =>
  bag(oids.certificateBag, sequence(oid(oids.x509Certificate), explicit(0, octets(der))), attributes)

const plainContent = (bytes: Uint8Array): BaseBlock => sequence(oid(oids.data), explicit(0, octets(bytes)))

/** EncryptedData (RFC 5652, 8), version 0. */
const encryptedContent = (algorithm: BaseBlock, ciphertext: Uint8Array): BaseBlock =>
  sequence(
    oid(oids.encryptedData),
    explicit(0, sequence(integer(0), sequence(oid(oids.data), algorithm, implicitOctets(0, ciphertext)))),
  )

function makeMac(bytes: Uint8Array, derivation: Parameters<typeof derivePkcs12Key>[2]): Buffer {
  const length = createHash(derivation.digest).digest().length
  return createHmac(derivation.digest, derivePkcs12Key('mac', length, derivation))
    .update(bytes)
    .digest()
}

/** Whether the bytes begin as a PFX does: a sequence whose first member is the version 3. */
export function looksLikePkcs12(bytes: Uint8Array): boolean {
  try {
    const [version, content] = members(parseBer(bytes))
    return numberOf(version) === 3 && oidOf(members(content)[0]) === oids.data
  } catch {
    return false
  }
}

/**
 * The keys and certificates in a file, of ours or any program's, encrypted by the modern or the older ways. Throws
 * IdentityError: `passphrase-wrong`, `encryption-unsupported`, `file-unreadable`.
 */
export async function unpackPkcs12(bytes: Uint8Array, passphrase: string): Promise<Contents> {
  try {
    const [, authSafe, macData] = members(parseBer(bytes))
    const [type, content] = members(authSafe)
    if (oidOf(type) !== oids.data) throw unsupported('a seal by public key')
    const safe = octetsOf(only(content))
    if (macData !== undefined) await holdMac(safe, macData, passphrase)
    return await unpackSafe(safe, passphrase)
  } catch (error) {
    if (error instanceof IdentityError) throw error
    throw new IdentityError(
      'file-unreadable',
      'the file is damaged: it begins as PKCS#12 and does not go on so',
      'Take the file from your backup, or export the identity again.',
      { cause: error },
    )
  }
}

async function holdMac(safe: Uint8Array, macData: BaseBlock, passphrase: string): Promise<void> {
  const [digestInfo, salt, count] = members(macData)
  const [algorithm, value] = members(digestInfo)
  const [identifier, parameters] = members(algorithm)
  const name = oidOf(identifier)
  const made =
    name === oids.pbmac1
      ? await makePbmac1(parameters, safe, passphrase)
      : makeMac(safe, { digest: readDigest(name), passphrase, salt: octetsOf(salt), iterations: readCount(count) })
  const stated = octetsOf(value)
  if (made.length !== stated.length || !timingSafeEqual(made, stated)) throw wrongPassphrase()
}

function readDigest(name: string): Pkcs12Digest {
  const digest = macDigests[name]
  if (digest === undefined) throw unsupported(`the digest ${name}`)
  return digest
}

const readCount = (count: BaseBlock | undefined): number => holdIterations(count === undefined ? 1 : numberOf(count))

async function unpackSafe(safe: Uint8Array, passphrase: string): Promise<Contents> {
  const found: Contents = { keys: [], certificates: [] }
  for (const contentInfo of members(parseBer(safe))) {
    const [type, content] = members(contentInfo)
    if (oidOf(type) === oids.data) await unpackBags(octetsOf(only(content)), passphrase, found)
    else if (oidOf(type) === oids.encryptedData) {
      const [, contentInformation] = members(only(content))
      const [, algorithm, ciphertext] = members(contentInformation)
      await unpackBags(await decrypt(algorithm, octetsOf(ciphertext), passphrase), passphrase, found)
    } else throw unsupported('encryption to a public key')
  }
  return found
}

async function unpackBags(bytes: Uint8Array, passphrase: string, found: Contents, depth = 0): Promise<void> {
  if (depth > deepest) throw new RangeError('bags in bags without end')
  for (const each of members(parseBer(bytes))) {
    const [type, tagged] = members(each)
    const value = only(tagged)
    switch (oidOf(type)) {
      case oids.keyBag:
        found.keys.push(readPkcs8(rawOf(value)))
        break
      case oids.shroudedKeyBag: {
        const [algorithm, ciphertext] = members(value)
        found.keys.push(readPkcs8(await decrypt(algorithm, octetsOf(ciphertext), passphrase)))
        break
      }
      case oids.certificateBag: {
        const [kind, der] = members(value)
        if (oidOf(kind) === oids.x509Certificate) found.certificates.push(octetsOf(only(der)))
        break
      }
      case oids.safeContentsBag:
        await unpackBags(rawOf(value), passphrase, found, depth + 1)
    }
  }
}

function readPkcs8(der: Uint8Array): KeyObject {
  try {
    return createPrivateKey({ key: Buffer.from(der), format: 'der', type: 'pkcs8' })
  } catch (cause) {
    throw new IdentityError(
      'key-unsupported',
      'the key in the file is of a kind that is not known here',
      'Use RSA of 2048 to 8192 bits, or ECDSA on P-256 or P-384.',
      { cause },
    )
  }
}
