/** Keys out of passphrases as RFC 7292, appendix B.2, makes them, for the MAC and the older encryptions of PKCS#12. */
import { hash } from 'node:crypto'

export type KeyPurpose = 'key' | 'iv' | 'mac'
const diversifier: Readonly<Record<KeyPurpose, number>> = { key: 1, iv: 2, mac: 3 }

export type Pkcs12Digest = 'sha1' | 'sha256' | 'sha384' | 'sha512'

export interface Derivation {
  digest: Pkcs12Digest
  passphrase: string
  salt: Uint8Array
  iterations: number
}

/** `length` bytes for one purpose. */
export function derivePkcs12Key(purpose: KeyPurpose, length: number, derivation: Derivation): Uint8Array {
  const { digest, passphrase, salt, iterations } = derivation
  const block = digest === 'sha1' || digest === 'sha256' ? 64 : 128
  const prefix = Buffer.alloc(block, diversifier[purpose])
  const input = Buffer.concat([fill(salt, block), fill(encodeBmp(passphrase), block)])
  const pieces: Uint8Array[] = []
  for (let made = 0; made < length; ) {
    let piece = hash(digest, Buffer.concat([prefix, input]), 'buffer')
    for (let round = 1; round < iterations; round++) piece = hash(digest, piece, 'buffer')
    pieces.push(piece)
    made += piece.length
    if (made < length) stir(input, block, fill(piece, block))
  }
  return new Uint8Array(Buffer.concat(pieces).subarray(0, length))
}

/** UTF-16, big-endian, ended by a zero character. */
function encodeBmp(text: string): Uint8Array {
  return Buffer.from(`${text}\0`, 'utf16le').swap16()
}

/** Repeated to the next multiple of the block. */
function fill(bytes: Uint8Array, block: number): Uint8Array {
  return bytes.length === 0 ? bytes : Buffer.alloc(Math.ceil(bytes.length / block) * block, bytes)
}

/** Each block of `input` becomes itself + `addend` + 1, modulo 2^(8 × block). */
function stir(input: Buffer, block: number, addend: Uint8Array): void {
  for (let start = 0; start < input.length; start += block) {
    let carry = 1
    for (let at = block - 1; at >= 0; at--) {
      carry += (input[start + at] ?? 0) + (addend[at] ?? 0)
      input[start + at] = carry & 0xff
      carry >>= 8
    }
  }
}
