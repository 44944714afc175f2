/** Published signature cases, one a line: the keys first, then the cases. Each folder's SOURCE.md says where from. */
import { createPublicKey, type KeyObject } from 'node:crypto'
import { readFileSync } from 'node:fs'

export interface SignatureCase {
  id: number
  comment: string
  /** As the suite has it: an acceptable one may be taken or refused. */
  result: 'valid' | 'invalid' | 'acceptable'
  scheme: 'rsa' | 'rsa-pss' | 'ecdsa'
  digest: string
  /** Of PSS: digest of the mask, and length of the salt in bytes. */
  mask?: string
  salt?: number
  key: KeyObject
  message: Buffer
  signature: Buffer
}

interface Line extends Omit<SignatureCase, 'key' | 'message' | 'signature'> {
  key: number
  message: string
  signature?: string
  /** ECDSA as two numbers, where the suite gives no encoding. */
  r?: string
  s?: string
}

export function readCases(file: string): SignatureCase[] {
  const lines = readFileSync(new URL(file, import.meta.url), 'utf8')
    .trimEnd()
    .split('\n')
  const keys: KeyObject[] = []
  return lines.flatMap((text) => {
    const line = JSON.parse(text) as Line | { key: number; spki: string }
    if ('spki' in line) {
      keys[line.key] = createPublicKey({ key: Buffer.from(line.spki, 'hex'), format: 'der', type: 'spki' })
      return []
    }
    const { r = '', s = '', signature = encodeNumbers(r, s), key, message, ...rest } = line
    return [
      {
        ...rest,
        key: keys[key] as KeyObject,
        message: Buffer.from(message, 'hex'),
        signature: Buffer.from(signature, 'hex'),
      },
    ]
  })
}

/** ECDSA-Sig-Value in DER (RFC 3279, 2.2.3): SEQUENCE of two INTEGERs. */
function encodeNumbers(r: string, s: string): string {
  const content = [r, s].map((digits) => encodeTagged(0x02, encodePositive(digits))).join('')
  return encodeTagged(0x30, content)
}

function encodePositive(digits: string): string {
  const even = (digits.length % 2 === 1 ? `0${digits}` : digits).replace(/^(?:00)+(?=..)/, '')
  return Number.parseInt(even.slice(0, 2), 16) >= 0x80 ? `00${even}` : even
}

function encodeTagged(tag: number, content: string): string {
  const bytes = content.length / 2
  return Buffer.from(bytes < 0x80 ? [tag, bytes] : [tag, 0x81, bytes]).toString('hex') + content
}

/** The bytes of a file in base64. */
export const readBase64 = (file: string): Uint8Array =>
  new Uint8Array(Buffer.from(readFileSync(new URL(file, import.meta.url), 'utf8'), 'base64'))

/** Files by name: one a line, in base64. */
export function readNamed(file: string): ReadonlyMap<string, Uint8Array> {
  const lines = readFileSync(new URL(file, import.meta.url), 'utf8')
    .trimEnd()
    .split('\n')
  return new Map(
    lines.map((line) => {
      const { name, der } = JSON.parse(line) as { name: string; der: string }
      return [name, new Uint8Array(Buffer.from(der, 'base64'))]
    }),
  )
}
