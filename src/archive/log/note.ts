/**
 * Signed notes (C2SP signed-note): a text that ends in a newline, an empty line, and a line for each signature:
 *
 *     — <key name> base64(key ID (4 bytes) || signature)
 *
 * Verifier keys are written `<key name>+<key ID in hexadecimal>+base64(type || public key)`. Signatures of two types are
 * made and verified: Ed25519 over the text (0x01), and a witness's cosignature of a checkpoint with the time at which it
 * was given (0x04, C2SP tlog-cosignature). Lines of any other key are kept and passed over.
 */
import { createHash, createPublicKey, type KeyObject, sign, verify } from 'node:crypto'

/** 0x01: over the text. 0x04: a witness's, with a time. */
export type SignatureType = 1 | 4

export interface NoteKey {
  name: string
  /** Eight hexadecimal digits. */
  id: string
  type: SignatureType
  /** 32 bytes (RFC 8032). */
  publicKey: Uint8Array
}

export interface SignatureLine {
  name: string
  id: string
  /** Without the key ID. */
  signature: Uint8Array
}

export interface Note {
  /** With its last newline, without the empty line after it. */
  text: string
  lines: SignatureLine[]
}

export class NoteError extends Error {
  override name = 'NoteError'
}

/** Far more than the 16 signatures that must be accepted. */
const mostLines = 100
const mostBytes = 1024 * 1024

/** Fixed bytes of an Ed25519 public key as SubjectPublicKeyInfo (RFC 8410, section 4). */
const publicKeyPrefix = Buffer.from('302a300506032b6570032100', 'hex')

const isName = (name: string): boolean => name !== '' && !/[\p{White_Space}+]/u.test(name) && !/[\0-\x1F]/.test(name)

const typed = (type: SignatureType, publicKey: Uint8Array) => Buffer.concat([Uint8Array.of(type), publicKey])

/** A key under a name. Throws NoteError for a name with spaces or a plus, or a key that has not 32 bytes. */
export function makeKey(name: string, type: SignatureType, publicKey: Uint8Array): NoteKey {
  if (!isName(name)) throw new NoteError(`"${name}" cannot name a key: it is empty, or has a space or a plus in it`)
  if (publicKey.length !== 32) throw new NoteError('An Ed25519 public key has 32 bytes')
  const hash = createHash('sha256').update(`${name}\n`).update(typed(type, publicKey)).digest('hex')
  return { name, id: hash.slice(0, 8), type, publicKey }
}

/** As `parseKey` reads it. */
export const formatKey = ({ name, id, type, publicKey }: NoteKey): string =>
  `${name}+${id}+${typed(type, publicKey).toString('base64')}`

/** Reads a verifier key. Throws NoteError for what is none, or has the ID of another key. */
export function parseKey(text: string): NoteKey {
  const [, name = '', id = '', encoded = ''] = /^([^+]*)\+([0-9a-f]{8})\+([A-Za-z0-9+/]+=*)$/.exec(text.trim()) ?? []
  const bytes = decode(encoded)
  const type = bytes?.[0]
  if (bytes === null || (type !== 1 && type !== 4))
    throw new NoteError('This is no verifier key of Ed25519: it is written NAME+ID+KEY, as C2SP signed-note says')
  const key = makeKey(name, type, new Uint8Array(bytes.subarray(1)))
  if (key.id !== id) throw new NoteError(`The verifier key of ${name} is damaged: its ID is ${key.id}, not ${id}`)
  return key
}

/** Base64 (RFC 4648, section 4) in its one form; null for any other. */
export function decode(text: string): Buffer | null {
  const bytes = Buffer.from(text, 'base64')
  return text !== '' && bytes.toString('base64') === text ? bytes : null
}

const mark = '\n\n— '

/** Takes a note apart, verifying nothing. Throws NoteError for what is no signed note. */
export function parseNote(bytes: Uint8Array): Note {
  if (bytes.length > mostBytes) throw new NoteError('The note is too long')
  const whole = decodeUtf8(bytes)
  const at = whole.lastIndexOf('\n\n')
  if (at < 0 || !whole.startsWith(mark, at)) throw new NoteError('The note carries no signature')
  const written = whole.slice(at + 2)
  if (!written.endsWith('\n')) throw new NoteError('The note ends in the middle of a line')
  const lines = written.slice(0, -1).split('\n')
  if (lines.length > mostLines) throw new NoteError(`The note carries more than ${mostLines} signatures`)
  return { text: whole.slice(0, at + 1), lines: lines.map(parseLine) }
}

function decodeUtf8(bytes: Uint8Array): string {
  try {
    const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes)
    if (!/[\0-\x09\x0B-\x1F]/.test(text)) return text
  } catch {
    // Said below.
  }
  throw new NoteError('The note is no plain text in UTF-8')
}

function parseLine(line: string): SignatureLine {
  const [, name = '', encoded = ''] = /^— ([^ ]+) ([^ ]+)$/.exec(line) ?? []
  const bytes = decode(encoded)
  if (!isName(name) || bytes === null || bytes.length < 5) throw new NoteError(`This is no signature line: ${line}`)
  return { name, id: bytes.subarray(0, 4).toString('hex'), signature: new Uint8Array(bytes.subarray(4)) }
}

/** The bytes of a note, as `parseNote` takes them apart. */
export function formatNote({ text, lines }: Note): Uint8Array {
  const written = lines.map(
    ({ name, id, signature }) => `— ${name} ${Buffer.concat([Buffer.from(id, 'hex'), signature]).toString('base64')}\n`,
  )
  return Buffer.from(`${text}\n${written.join('')}`, 'utf8')
}

/** A signature that holds: whose, and for a witness's when, in seconds since 1970 UTC. */
export interface Signed {
  key: NoteKey
  time: number | null
}

/**
 * The signatures of known keys that hold. Throws NoteError where one of a known key does not: the text is then not what
 * was signed.
 */
export function verifyNote({ text, lines }: Note, known: readonly NoteKey[]): Signed[] {
  return lines.flatMap((line) => {
    const key = known.find(({ name, id }) => name === line.name && id === line.id)
    if (key === undefined) return []
    const signed = verifyLine(text, line, key)
    if (signed === null) throw new NoteError(`The signature of ${key.name} does not hold over this text`)
    return [signed]
  })
}

function verifyLine(text: string, { signature }: SignatureLine, key: NoteKey): Signed | null {
  if (key.type === 1) return holds(text, signature, key.publicKey) ? { key, time: null } : null
  if (signature.length !== 72) return null
  const seconds = Buffer.from(signature).readBigUInt64BE()
  if (seconds > BigInt(Number.MAX_SAFE_INTEGER)) return null
  const time = Number(seconds)
  return holds(cosignedText(text, time), signature.subarray(8), key.publicKey) ? { key, time } : null
}

function holds(text: string, signature: Uint8Array, publicKey: Uint8Array): boolean {
  const der = Buffer.concat([publicKeyPrefix, publicKey])
  try {
    return verify(
      null,
      Buffer.from(text, 'utf8'),
      createPublicKey({ key: der, format: 'der', type: 'spki' }),
      signature,
    )
  } catch {
    return false
  }
}

const cosignedText = (text: string, time: number): string => `cosignature/v1\ntime ${time}\n${text}`

/** Who signs: an Ed25519 private key under a name. */
export interface NoteSigner {
  key: NoteKey
  privateKey: KeyObject
}

/** Throws NoteError for a private key that is not Ed25519. */
export function makeSigner(name: string, type: SignatureType, privateKey: KeyObject): NoteSigner {
  if (privateKey.type !== 'private' || privateKey.asymmetricKeyType !== 'ed25519')
    throw new NoteError('Notes are signed with an Ed25519 private key')
  const der = createPublicKey(privateKey).export({ format: 'der', type: 'spki' })
  return { key: makeKey(name, type, new Uint8Array(der.subarray(publicKeyPrefix.length))), privateKey }
}

/**
 * Signs a text that ends in a newline. `time`, in whole seconds since 1970 UTC, is what a witness states (type 0x04), and
 * is left out by others. A witness must have verified that the checkpoint continues the last one that it cosigned.
 */
export function signText(text: string, { key, privateKey }: NoteSigner, time: number | null = null): SignatureLine {
  if (!text.endsWith('\n')) throw new NoteError('A text to be signed ends in a newline')
  if ((key.type === 4) !== (time !== null)) throw new NoteError('A witness states the time, and nobody else does')
  if (time === null) {
    const signature = sign(null, Buffer.from(text, 'utf8'), privateKey)
    return { name: key.name, id: key.id, signature: new Uint8Array(signature) }
  }
  const stated = Buffer.alloc(8)
  stated.writeBigUInt64BE(BigInt(time))
  const signature = sign(null, Buffer.from(cosignedText(text, time), 'utf8'), privateKey)
  return { name: key.name, id: key.id, signature: new Uint8Array(Buffer.concat([stated, signature])) }
}
