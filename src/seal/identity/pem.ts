/** PEM (RFC 7468) and DER files: certificates and private keys as authorities and other programs hand them out. */
import { createPrivateKey, type KeyObject, X509Certificate } from 'node:crypto'
import { members, octetsOf, oidOf, only, parseBer, rawOf } from '../ber.ts'
import { decrypt } from './encryption.ts'
import { IdentityError } from './errors.ts'
import type { Contents } from './pkcs12.ts'

const armour = /-----BEGIN ([A-Z0-9 ]+)-----\r?\n([\s\S]*?)-----END \1-----/g

/** Labels of certificates; the second is that of old programs. */
const certificateLabels: ReadonlySet<string> = new Set(['CERTIFICATE', 'X509 CERTIFICATE'])
/** PKCS#8, PKCS#1 (RFC 8017, A.1.2), SEC 1 (RFC 5915). */
const keyLabels: ReadonlySet<string> = new Set(['PRIVATE KEY', 'RSA PRIVATE KEY', 'EC PRIVATE KEY'])
const encryptedLabel = 'ENCRYPTED PRIVATE KEY'
const bundleLabels: ReadonlySet<string> = new Set(['PKCS7', 'CMS'])

const signedData = '1.2.840.113549.1.7.2'

interface Block {
  label: string
  /** With the armour. */
  text: string
  der: Uint8Array
}

/** The armoured blocks in a file, in their order; none for a file that is no text. */
function readBlocks(bytes: Uint8Array): Block[] {
  const text = Buffer.from(bytes).toString('latin1')
  return [...text.matchAll(armour)].map(([whole, label = '', body = '']) => ({
    label,
    text: whole,
    der: new Uint8Array(Buffer.from(body, 'base64')),
  }))
}

/** RFC 1421, 4.6.1.1: the traditional way of encrypting PKCS#1 and SEC 1 keys names itself in the block's head. */
const isEncrypted = ({ label, text }: Block): boolean =>
  label === encryptedLabel || (keyLabels.has(label) && /\nProc-Type: 4,ENCRYPTED/.test(text))

/** Whether a private key in the file asks for a passphrase. */
export const holdsEncryptedKey = (bytes: Uint8Array): boolean => readBlocks(bytes).some(isEncrypted)

/**
 * The private keys and certificates in a PEM file, in any order, with whatever text between; or in a DER file of one
 * certificate or of a bundle (PKCS#7 without signature, `.p7b`). Throws IdentityError: `passphrase-wrong`,
 * `passphrase-missing`, `key-unsupported`, `file-unreadable`.
 */
export async function unpackPem(bytes: Uint8Array, passphrase: string | null): Promise<Contents> {
  const blocks = readBlocks(bytes)
  if (blocks.length === 0) return { keys: [], certificates: unpackDer(bytes) }
  const found: Contents = { keys: [], certificates: [] }
  for (const block of blocks) {
    if (certificateLabels.has(block.label)) found.certificates.push(holdCertificate(block.der))
    else if (bundleLabels.has(block.label)) found.certificates.push(...unpackDer(block.der))
    else if (block.label === encryptedLabel || keyLabels.has(block.label))
      found.keys.push(await readKey(block, passphrase))
  }
  return found
}

async function readKey(block: Block, passphrase: string | null): Promise<KeyObject> {
  if (!isEncrypted(block)) return parseKey(block.text)
  if (passphrase === null)
    throw new IdentityError('passphrase-missing', 'the private key is encrypted', 'Give the passphrase of the key.')
  if (block.label !== encryptedLabel) return parseKey(block.text, passphrase)
  const [algorithm, ciphertext] = members(parseBer(block.der))
  return parseKey(Buffer.from(await decrypt(algorithm, octetsOf(ciphertext), passphrase)))
}

function parseKey(key: string | Buffer, passphrase?: string): KeyObject {
  try {
    if (typeof key !== 'string') return createPrivateKey({ key, format: 'der', type: 'pkcs8' })
    return createPrivateKey({ key, format: 'pem', ...(passphrase === undefined ? {} : { passphrase }) })
  } catch (cause) {
    // A wrong passphrase leaves bytes that are no key, or whose padding does not come out; OpenSSL tells neither apart.
    if (passphrase !== undefined || typeof key !== 'string')
      throw new IdentityError(
        'passphrase-wrong',
        'the passphrase does not open the private key',
        'Type it again, with an eye on capitals and the keyboard’s language.',
        { cause },
      )
    throw new IdentityError(
      'key-unsupported',
      'the private key is damaged, or of a kind that is not known here',
      'Use RSA of 2048 to 8192 bits, or ECDSA on P-256 or P-384.',
      { cause },
    )
  }
}

function unpackDer(bytes: Uint8Array): Uint8Array[] {
  let bundle: Uint8Array[] | null
  try {
    bundle = unpackBundle(bytes)
  } catch {
    bundle = null
  }
  return (bundle ?? [bytes]).map(holdCertificate)
}

/** The certificates of a SignedData (RFC 5652, 5.1), [0] IMPLICIT; null where the bytes are something else. */
function unpackBundle(bytes: Uint8Array): Uint8Array[] | null {
  const [type, content] = members(parseBer(bytes))
  if (oidOf(type) !== signedData) return null
  const certificates = members(only(content)).find(
    (each) => each.idBlock.tagClass === 3 && each.idBlock.tagNumber === 0,
  )
  return certificates === undefined ? [] : members(certificates).map(rawOf)
}

function holdCertificate(der: Uint8Array): Uint8Array {
  try {
    return new Uint8Array(new X509Certificate(der).raw)
  } catch (cause) {
    throw new IdentityError(
      'file-unreadable',
      'there is no certificate or private key in the file that can be read',
      'Give a PKCS#12 file (.p12, .pfx), or certificates and the key as PEM.',
      { cause },
    )
  }
}

/** One block, its lines of 64 characters (RFC 7468, 2). */
export function formatPem(label: string, der: Uint8Array): string {
  const lines =
    Buffer.from(der)
      .toString('base64')
      .match(/.{1,64}/g) ?? []
  return [`-----BEGIN ${label}-----`, ...lines, `-----END ${label}-----`, ''].join('\n')
}
