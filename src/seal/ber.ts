/** Steps through parsed ASN.1 (X.690, BER) and writes it; each step throws where the bytes are of another shape. */
import {
  type BaseBlock,
  BmpString,
  Constructed,
  fromBER,
  Integer,
  ObjectIdentifier,
  OctetString,
  Primitive,
  Sequence,
  Set as SetOf,
} from 'asn1js'

/** The one value that `bytes` are, with nothing after it. Throws RangeError otherwise. */
export function parseBer(bytes: Uint8Array): BaseBlock {
  const { offset, result } = fromBER(copy(bytes))
  if (offset === -1) throw new RangeError(`not ASN.1: ${result.error}`)
  if (offset !== bytes.length) throw new RangeError(`${bytes.length - offset} bytes follow the ASN.1 value`)
  return result
}

/** The members of a SEQUENCE, SET or constructed tag. */
export function members(block: BaseBlock | undefined): BaseBlock[] {
  if (block instanceof Constructed) return block.valueBlock.value
  throw new RangeError('a value that should hold others does not')
}

/** The members of a SEQUENCE and of nothing else: a tag that no signature covers must not stand for another. */
export function partsOf(block: BaseBlock | undefined): BaseBlock[] {
  if (block instanceof Sequence) return block.valueBlock.value
  throw new RangeError('a sequence is missing')
}

/** The members of a SET and of nothing else. */
export function setOf(block: BaseBlock | undefined): BaseBlock[] {
  if (block instanceof SetOf) return block.valueBlock.value
  throw new RangeError('a set is missing')
}

/** Whether the block stands under the tag [number] and holds others. */
export const isTagged = (block: BaseBlock | undefined, number: number): block is Constructed =>
  block instanceof Constructed && block.idBlock.tagClass === 3 && block.idBlock.tagNumber === number

/** The octets of an OCTET STRING in one piece, and of nothing else. */
export function octetStringOf(block: BaseBlock | undefined): Uint8Array {
  if (block instanceof OctetString && !block.idBlock.isConstructed) return new Uint8Array(block.getValue())
  throw new RangeError('an octet string is missing')
}

/** The one member of an explicit tag. */
export function only(block: BaseBlock | undefined): BaseBlock {
  const [first, ...others] = members(block)
  if (first === undefined || others.length > 0) throw new RangeError('a tag that should hold one value does not')
  return first
}

export function oidOf(block: BaseBlock | undefined): string {
  if (block instanceof ObjectIdentifier) return block.valueBlock.toString()
  throw new RangeError('an object identifier is missing')
}

/** Octets in one piece or several (BER), under their own tag or an implicit one. */
export function octetsOf(block: BaseBlock | undefined): Uint8Array {
  if (block instanceof OctetString) return new Uint8Array(block.getValue())
  if (block instanceof Primitive) return new Uint8Array(block.valueBlock.valueHexView)
  return new Uint8Array(Buffer.concat(members(block).map(octetsOf)))
}

export function numberOf(block: BaseBlock | undefined): number {
  // The library makes ENUMERATED a kind of INTEGER; here one must not stand for the other.
  if (block instanceof Integer && block.idBlock.tagNumber === integerTag) {
    const value = Number(block.toBigInt())
    if (Number.isSafeInteger(value)) return value
  }
  throw new RangeError('a number is missing or out of all measure')
}

/** X.690, 8.3: INTEGER. */
const integerTag = 2

/** The bytes as they stood in the input. */
export const rawOf = (block: BaseBlock): Uint8Array => new Uint8Array(block.valueBeforeDecodeView)

export const derOf = (block: BaseBlock): Uint8Array => new Uint8Array(block.toBER())
export const sequence = (...value: BaseBlock[]): Sequence => new Sequence({ value })
export const set = (...value: BaseBlock[]): SetOf => new SetOf({ value })
export const oid = (value: string): ObjectIdentifier => new ObjectIdentifier({ value })
export const integer = (value: number): Integer => new Integer({ value })
export const octets = (bytes: Uint8Array): OctetString => new OctetString({ valueHex: copy(bytes) })
export const bmp = (value: string): BmpString => new BmpString({ value })

/** [number] EXPLICIT. */
export const explicit = (tagNumber: number, ...value: BaseBlock[]): Constructed =>
  new Constructed({ idBlock: { tagClass: 3, tagNumber }, value })

/** [number] IMPLICIT OCTET STRING. */
export const implicitOctets = (tagNumber: number, bytes: Uint8Array): Primitive =>
  new Primitive({ idBlock: { tagClass: 3, tagNumber }, valueHex: copy(bytes) })

/** The bytes in a buffer of their own: the libraries take a view into a larger one for the whole of it. */
export const copy = (bytes: Uint8Array): ArrayBuffer => new Uint8Array(bytes).buffer
