/** From BER with indefinite lengths and octet strings in pieces (X.690, 8) to definite lengths and whole strings. */
import { type BaseBlock, Constructed, EndOfContent, OctetString } from 'asn1js'
import { octetsOf, parseBer, rawOf } from '../../src/seal/ber.ts'

export const toDer = (ber: Uint8Array): Uint8Array => encode(parseBer(ber))

function encode(block: BaseBlock): Uint8Array {
  if (block instanceof OctetString) return join(0x04, octetsOf(block))
  if (!(block instanceof Constructed)) return rawOf(block)
  const parts = block.valueBlock.value.filter((part) => !(part instanceof EndOfContent))
  return join(rawOf(block)[0] ?? 0, Buffer.concat(parts.map(encode)))
}

function join(tag: number, content: Uint8Array): Uint8Array {
  const length: number[] = []
  for (let left = content.length; left > 0; left = Math.floor(left / 256)) length.unshift(left % 256)
  const head = content.length < 0x80 ? [tag, content.length] : [tag, 0x80 | length.length, ...length]
  return new Uint8Array(Buffer.concat([Buffer.from(head), content]))
}
