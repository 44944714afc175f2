/**
 * Encryption under a passphrase. Written: PBES2 (RFC 8018) of PBKDF2 with HMAC-SHA-256 and AES-256-CBC. Read besides:
 * the other PBES2 that are in use, and the pbeWithSHA1And… of RFC 7292, appendix C, for files of older programs.
 */
import { createCipheriv, createDecipheriv, createHmac, pbkdf2, randomBytes } from 'node:crypto'
import { promisify } from 'node:util'
import { type BaseBlock, Integer, Null, Sequence } from 'asn1js'
import { integer, members, numberOf, octets, octetsOf, oid, oidOf, sequence } from '../ber.ts'
import { IdentityError } from './errors.ts'
import { derivePkcs12Key } from './pkcs12-key.ts'

/** What the OWASP Password Storage Cheat Sheet asks of PBKDF2 with HMAC-SHA-256 (state of 2023, from memory). */
export const usualIterations = 600_000

/** More would let a small file keep the processor busy for minutes. */
const mostIterations = 5_000_000

const oids = {
  pbes2: '1.2.840.113549.1.5.13',
  pbkdf2: '1.2.840.113549.1.5.12',
  hmacWithSha1: '1.2.840.113549.2.7',
  hmacWithSha256: '1.2.840.113549.2.9',
  aes256Cbc: '2.16.840.1.101.3.4.1.42',
} as const

const hmacDigests: Readonly<Record<string, string>> = {
  [oids.hmacWithSha1]: 'sha1',
  [oids.hmacWithSha256]: 'sha256',
  '1.2.840.113549.2.10': 'sha384',
  '1.2.840.113549.2.11': 'sha512',
}

const ciphers: Readonly<Record<string, { name: string; keyLength: number }>> = {
  '2.16.840.1.101.3.4.1.2': { name: 'aes-128-cbc', keyLength: 16 },
  '2.16.840.1.101.3.4.1.22': { name: 'aes-192-cbc', keyLength: 24 },
  [oids.aes256Cbc]: { name: 'aes-256-cbc', keyLength: 32 },
  '1.2.840.113549.3.7': { name: 'des-ede3-cbc', keyLength: 24 },
}

const olderCiphers: Readonly<Record<string, { name: string; keyLength: number }>> = {
  '1.2.840.113549.1.12.1.3': { name: 'des-ede3-cbc', keyLength: 24 },
  '1.2.840.113549.1.12.1.4': { name: 'des-ede-cbc', keyLength: 16 },
  '1.2.840.113549.1.12.1.5': { name: 'rc2-cbc', keyLength: 16 },
  '1.2.840.113549.1.12.1.6': { name: 'rc2-cbc', keyLength: 5 },
}

const derive = promisify(pbkdf2)

export interface Encrypted {
  /** AlgorithmIdentifier. */
  algorithm: Sequence
  ciphertext: Uint8Array
}

/** Encrypts under a fresh salt and initialisation vector. The passphrase counts as its UTF-8. */
export async function encrypt(plain: Uint8Array, passphrase: string, iterations: number): Promise<Encrypted> {
  const salt = randomBytes(16)
  const iv = randomBytes(16)
  const cipher = createCipheriv('aes-256-cbc', await derive(passphrase, salt, iterations, 32, 'sha256'), iv)
  const derivation = sequence(octets(salt), integer(iterations), sequence(oid(oids.hmacWithSha256), new Null()))
  return {
    algorithm: sequence(
      oid(oids.pbes2),
      sequence(sequence(oid(oids.pbkdf2), derivation), sequence(oid(oids.aes256Cbc), octets(iv))),
    ),
    ciphertext: Buffer.concat([cipher.update(plain), cipher.final()]),
  }
}

/**
 * Decrypts what an AlgorithmIdentifier says how. Throws IdentityError: `passphrase-wrong` where the padding does not come
 * out (one wrong passphrase in 256 passes that), `encryption-unsupported`; RangeError where the parameters are damaged.
 */
export async function decrypt(
  algorithm: BaseBlock | undefined,
  ciphertext: Uint8Array,
  passphrase: string,
): Promise<Uint8Array> {
  const [identifier, parameters] = members(algorithm)
  const name = oidOf(identifier)
  if (name === oids.pbes2) return decryptPbes2(parameters, ciphertext, passphrase)
  const older = olderCiphers[name]
  if (older === undefined) throw unsupported(`the encryption ${name}`)
  const [salt, count] = members(parameters)
  const iterations = holdIterations(numberOf(count))
  const derivation = { digest: 'sha1', passphrase, salt: octetsOf(salt), iterations } as const
  const key = derivePkcs12Key('key', older.keyLength, derivation)
  const iv = derivePkcs12Key('iv', 8, derivation)
  return older.name === 'rc2-cbc' ? decryptRc2(key, iv, ciphertext) : decipher(older.name, key, iv, ciphertext)
}

/** PBES2-params: key derivation, then encryption scheme. */
async function decryptPbes2(parameters: BaseBlock | undefined, ciphertext: Uint8Array, passphrase: string) {
  const [derivation, scheme] = members(parameters)
  const [schemeName, iv] = members(scheme)
  const cipher = ciphers[oidOf(schemeName)]
  if (cipher === undefined) throw unsupported(`the cipher ${oidOf(schemeName)}`)
  const key = await deriveStated(derivation, passphrase, cipher.keyLength)
  return decipher(cipher.name, key, octetsOf(iv), ciphertext)
}

/**
 * The MAC of PBMAC1 (RFC 8018, 7.1), as PKCS#12 may have it since RFC 9579. Its parameters: key derivation, which must
 * state the key's length, then an HMAC.
 */
export async function makePbmac1(
  parameters: BaseBlock | undefined,
  bytes: Uint8Array,
  passphrase: string,
): Promise<Buffer> {
  const [derivation, scheme] = members(parameters)
  const name = oidOf(members(scheme)[0])
  const digest = hmacDigests[name]
  if (digest === undefined) throw unsupported(`the MAC ${name}`)
  return createHmac(digest, await deriveStated(derivation, passphrase, null))
    .update(bytes)
    .digest()
}

/**
 * A key by the PBKDF2 that an AlgorithmIdentifier states: salt, count, key length OPTIONAL, function DEFAULT HMAC-SHA-1.
 * `length` null takes the stated one, which must then be there.
 */
async function deriveStated(
  algorithm: BaseBlock | undefined,
  passphrase: string,
  length: number | null,
): Promise<Uint8Array> {
  const [name, parameters] = members(algorithm)
  if (oidOf(name) !== oids.pbkdf2) throw unsupported(`the key derivation ${oidOf(name)}`)
  const [salt, count, ...rest] = members(parameters)
  const stated = rest.find((each) => each instanceof Integer)
  const named = rest.find((each) => each instanceof Sequence)
  const hmac = named === undefined ? oids.hmacWithSha1 : oidOf(members(named)[0])
  const digest = hmacDigests[hmac]
  if (digest === undefined) throw unsupported(`the key derivation by ${hmac}`)
  const iterations = holdIterations(numberOf(count))
  const wanted = length ?? numberOf(stated)
  if (wanted < 16 || wanted > 64) throw unsupported(`a key of ${wanted} bytes`)
  return derive(passphrase, octetsOf(salt), iterations, wanted, digest)
}

/** Throws IdentityError for a number of rounds that no honest file asks for. */
export function holdIterations(iterations: number): number {
  if (iterations >= 1 && iterations <= mostIterations) return iterations
  throw unsupported(`a key derivation of ${iterations} rounds`)
}

function decipher(name: string, key: Uint8Array, iv: Uint8Array, ciphertext: Uint8Array): Uint8Array {
  const cipher = createDecipheriv(name, key, iv)
  try {
    return new Uint8Array(Buffer.concat([cipher.update(ciphertext), cipher.final()]))
  } catch (error) {
    throw wrongPassphrase(error)
  }
}

/** OpenSSL 3 no longer brings RC2 (RFC 2268), with which older programs encrypted the certificates. */
async function decryptRc2(key: Uint8Array, iv: Uint8Array, ciphertext: Uint8Array): Promise<Uint8Array> {
  const { default: forge } = await import('node-forge')
  const binary = (bytes: Uint8Array) => Buffer.from(bytes).toString('latin1')
  const cipher = forge.rc2.createDecryptionCipher(binary(key), key.length * 8)
  cipher.start(binary(iv))
  cipher.update(forge.util.createBuffer(binary(ciphertext)))
  if (!cipher.finish()) throw wrongPassphrase()
  return new Uint8Array(Buffer.from(cipher.output.getBytes(), 'latin1'))
}

export const wrongPassphrase = (cause?: unknown): IdentityError =>
  new IdentityError(
    'passphrase-wrong',
    'the passphrase does not open the identity',
    'Type it again, with an eye on capitals and the keyboard’s language. A lost passphrase cannot be recovered.',
    { cause },
  )

export const unsupported = (what: string): IdentityError =>
  new IdentityError(
    'encryption-unsupported',
    `the file rests on ${what}, which is not known here`,
    'Export the identity again as PKCS#12 with AES-256 and SHA-256.',
  )
