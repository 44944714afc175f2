/**
 * What is encrypted in a PDF that opens without a password: the standard security handler with an empty one, as report
 * printers use it to forbid changes (ISO 32000-2, 7.6; RC4 and revisions 2 to 4 as in ISO 32000-1, 7.6; clauses from memory).
 */
import { createCipheriv, createDecipheriv, createHash } from 'node:crypto'
import { nameOf, type PdfDictionary, type PdfString, type PdfValue } from './syntax.ts'

/** An object as it was before it was encrypted, by its number and generation. */
export type Decrypt = (value: PdfValue, number: number, generation: number) => PdfValue

type Method = 'none' | 'rc4' | 'aes-128' | 'aes-256'

/** What a file is encrypted by. */
interface Encryption {
  key: Uint8Array
  strings: Method
  streams: Method
  metadata: boolean
}

/** `identifier`: the first part of the trailer's /ID. Null where a password or something unknown is needed. */
export function openEncryption(dictionary: PdfDictionary, identifier: Uint8Array): Decrypt | null {
  const { entries } = dictionary
  const version = numberIn(dictionary, 'V')
  const revision = numberIn(dictionary, 'R')
  if (nameOf(entries.get('Filter')) !== 'Standard' || version === null || revision === null) return null
  const methods = methodsOf(dictionary, version)
  if (methods === null) return null
  const flag = entries.get('EncryptMetadata')
  const metadata = !(flag?.kind === 'boolean' && !flag.value)
  const key = version >= 5 ? modernKey(dictionary, revision) : olderKey(dictionary, revision, identifier, metadata)
  return key === null ? null : makeDecrypt({ key, ...methods, metadata })
}

function numberIn({ entries }: PdfDictionary, key: string): number | null {
  const value = entries.get(key)
  return value?.kind === 'number' ? value.value : null
}

function bytesIn({ entries }: PdfDictionary, key: string): Uint8Array {
  const value = entries.get(key)
  return value?.kind === 'string' ? value.value : new Uint8Array()
}

const methods: Readonly<Record<string, Method>> = { None: 'none', V2: 'rc4', AESV2: 'aes-128', AESV3: 'aes-256' }

/** From version 4 on, crypt filters say by what (7.6.6). */
function methodsOf(dictionary: PdfDictionary, version: number): Pick<Encryption, 'strings' | 'streams'> | null {
  if (version === 1 || version === 2) return { strings: 'rc4', streams: 'rc4' }
  if (version !== 4 && version !== 5) return null
  const filters = dictionary.entries.get('CF')
  const methodOf = (key: string): Method | undefined => {
    const name = nameOf(dictionary.entries.get(key)) ?? 'Identity'
    if (name === 'Identity') return 'none'
    const filter = filters?.kind === 'dictionary' ? filters.entries.get(name) : undefined
    return methods[(filter?.kind === 'dictionary' && nameOf(filter.entries.get('CFM'))) || 'None']
  }
  const [strings, streams] = [methodOf('StrF'), methodOf('StmF')]
  return strings === undefined || streams === undefined ? null : { strings, streams }
}

/** What fills an empty password up (ISO 32000-1, 7.6.3.3). */
const padding = Buffer.from('28bf4e5e4e758a4164004e56fffa01082e2e00b6d0683e802f0ca9fe6453697a', 'hex')

const md5 = (...parts: readonly Uint8Array[]): Buffer => digest('md5', ...parts)

function digest(name: string, ...parts: readonly Uint8Array[]): Buffer {
  const hash = createHash(name)
  for (const part of parts) hash.update(part)
  return hash.digest()
}

/** Algorithms 2 to 7; null where the empty password is not the one. */
function olderKey(
  dictionary: PdfDictionary,
  revision: number,
  identifier: Uint8Array,
  metadata: boolean,
): Uint8Array | null {
  const length = revision === 2 ? 5 : (numberIn(dictionary, 'Length') ?? 40) / 8
  if (!Number.isInteger(length) || length < 5 || length > 16) return null
  const permissions = Buffer.alloc(4)
  permissions.writeInt32LE((numberIn(dictionary, 'P') ?? 0) | 0)
  const more = revision >= 4 && !metadata ? Buffer.alloc(4, 0xff) : Buffer.alloc(0)
  let key = md5(padding, bytesIn(dictionary, 'O').subarray(0, 32), permissions, identifier, more).subarray(0, length)
  if (revision >= 3) for (let round = 0; round < 50; round++) key = md5(key).subarray(0, length)
  const user = bytesIn(dictionary, 'U')
  const expected = revision === 2 ? rc4(key, padding) : userCheck(key, identifier)
  return Buffer.from(user.subarray(0, expected.length)).equals(expected) ? key : null
}

/** Algorithm 5. */
function userCheck(key: Uint8Array, identifier: Uint8Array): Uint8Array {
  let check: Uint8Array = md5(padding, identifier)
  for (let round = 0; round < 20; round++)
    check = rc4(
      key.map((byte) => byte ^ round),
      check,
    )
  return check
}

/** Algorithm 2.A with an empty password: /U is a hash of 32 bytes, then 8 that it was made with, then 8 for the key. */
function modernKey(dictionary: PdfDictionary, revision: number): Uint8Array | null {
  const [user, sealed] = [bytesIn(dictionary, 'U'), bytesIn(dictionary, 'UE')]
  if ((revision !== 5 && revision !== 6) || user.length < 48 || sealed.length < 32) return null
  const hash = revision === 5 ? (salt: Uint8Array) => digest('sha256', salt) : hardenedHash
  if (!hash(user.subarray(32, 40)).equals(user.subarray(0, 32))) return null
  const decipher = createDecipheriv('aes-256-cbc', hash(user.subarray(40, 48)), Buffer.alloc(16)).setAutoPadding(false)
  return decipher.update(sealed.subarray(0, 32))
}

/** Algorithm 2.B. */
function hardenedHash(salt: Uint8Array): Buffer {
  let key = digest('sha256', salt)
  for (let round = 1, last = 0; round <= 64 || last > round - 33; round++) {
    const cipher = createCipheriv('aes-128-cbc', key.subarray(0, 16), key.subarray(16, 32)).setAutoPadding(false)
    const encrypted = cipher.update(Buffer.concat(Array<Buffer>(64).fill(key)))
    // 256 leaves 1 when divided by 3, and so do its powers.
    const rest = encrypted.subarray(0, 16).reduce((sum, byte) => sum + byte, 0) % 3
    key = digest(['sha256', 'sha384', 'sha512'][rest] as string, encrypted)
    last = encrypted.at(-1) as number
  }
  return key.subarray(0, 32)
}

function makeDecrypt({ key, strings, streams, metadata }: Encryption): Decrypt {
  const isPlain = (dictionary: PdfDictionary): boolean => {
    const type = nameOf(dictionary.entries.get('Type'))
    return type === 'XRef' || (type === 'Metadata' && !metadata) || hasOwnFilter(dictionary)
  }
  return (value, number, generation) => {
    const open = (method: Method, bytes: Uint8Array) => decryptBytes(method, key, bytes, number, generation)
    const visit = (one: PdfValue): PdfValue => {
      switch (one.kind) {
        case 'string':
          return { ...one, value: open(strings, one.value) } satisfies PdfString
        case 'array':
          return { ...one, items: one.items.map(visit) }
        case 'dictionary':
          return visitDictionary(one)
        case 'stream': {
          if (isPlain(one.dictionary)) return one
          return { kind: 'stream', dictionary: visitDictionary(one.dictionary), data: open(streams, one.data) }
        }
        default:
          return one
      }
    }
    const visitDictionary = (dictionary: PdfDictionary): PdfDictionary => {
      // A signature is laid over the encrypted file, and is not encrypted itself (ISO 32000-2, 7.6.2).
      const isSignature = dictionary.entries.has('ByteRange')
      const entries = [...dictionary.entries].map(
        ([name, one]) => [name, isSignature && name === 'Contents' ? one : visit(one)] as const,
      )
      return { ...dictionary, entries: new Map(entries) }
    }
    return visit(value)
  }
}

/** A stream that names a crypt filter of its own. */
function hasOwnFilter({ entries }: PdfDictionary): boolean {
  const filter = entries.get('Filter')
  return (filter?.kind === 'array' ? filter.items : [filter]).some((one) => nameOf(one) === 'Crypt')
}

/** Algorithms 1 and 1.A. */
function decryptBytes(method: Method, key: Uint8Array, bytes: Uint8Array, number: number, generation: number) {
  if (method === 'none' || bytes.length === 0) return bytes
  if (method === 'aes-256') return decryptAes('aes-256-cbc', key, bytes)
  const of = Buffer.from([number, number >> 8, number >> 16, generation, generation >> 8])
  const salt = Buffer.from(method === 'aes-128' ? 'sAlT' : '', 'latin1')
  const own = md5(key, of, salt).subarray(0, Math.min(key.length + 5, 16))
  return method === 'rc4' ? rc4(own, bytes) : decryptAes('aes-128-cbc', own, bytes)
}

/** The first 16 bytes are the initialisation vector. What was never encrypted stays as it stands: some writers forget to. */
function decryptAes(name: string, key: Uint8Array, bytes: Uint8Array): Uint8Array {
  if (bytes.length < 32 || bytes.length % 16 !== 0) return bytes
  try {
    const decipher = createDecipheriv(name, key, bytes.subarray(0, 16))
    return Buffer.concat([decipher.update(bytes.subarray(16)), decipher.final()])
  } catch {
    return bytes
  }
}

/** The stream cipher of older files, which OpenSSL 3 no longer brings. The same both ways. */
export function rc4(key: Uint8Array, bytes: Uint8Array): Uint8Array {
  const state = Uint8Array.from({ length: 256 }, (_, index) => index)
  const swap = (one: number, other: number) => {
    const kept = state[one] as number
    state[one] = state[other] as number
    state[other] = kept
  }
  for (let index = 0, other = 0; index < 256; index++) {
    other = (other + (state[index] as number) + (key[index % key.length] as number)) & 255
    swap(index, other)
  }
  let [first, second] = [0, 0]
  return bytes.map((byte) => {
    first = (first + 1) & 255
    second = (second + (state[first] as number)) & 255
    swap(first, second)
    return byte ^ (state[((state[first] as number) + (state[second] as number)) & 255] as number)
  })
}
