/**
 * Are bytes in the Distinguished Encoding Rules (X.690, 8 and 10 to 11)? What a signature does not cover must have one
 * encoding alone, or somebody could change bytes that nobody verifies.
 */

/** What is not DER, and where: `byte 12: a length that could be shorter`; null where all is. */
export function findDerFault(bytes: Uint8Array): string | null {
  try {
    const end = walk(bytes, 0, bytes.length, 0)
    return end === bytes.length ? null : `byte ${end}: ${bytes.length - end} bytes follow the value`
  } catch (error) {
    if (error instanceof DerFault) return error.message
    throw error
  }
}

class DerFault extends Error {
  constructor(position: number, what: string) {
    super(`byte ${position}: ${what}`)
  }
}

/** Deeper than any certificate or signature; what nests more is refused before it exhausts the stack. */
const deepest = 40

const constructed = 0x20
const classBits = 0xc0

const universal = {
  boolean: 0x01,
  integer: 0x02,
  bitString: 0x03,
  octetString: 0x04,
  null: 0x05,
  objectIdentifier: 0x06,
  enumerated: 0x0a,
  utcTime: 0x17,
  generalizedTime: 0x18,
  sequence: 0x30,
  set: 0x31,
} as const

/** Universal types that DER never splits into parts, nor gives other than as one piece. */
const primitives: ReadonlySet<number> = new Set([
  1, 2, 3, 4, 5, 6, 10, 12, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 30,
])

interface Header {
  tag: number
  start: number
  end: number
}

function walk(bytes: Uint8Array, position: number, end: number, depth: number): number {
  if (depth > deepest) throw new DerFault(position, `values nest deeper than ${deepest}`)
  const header = readHeader(bytes, position, end)
  const isUniversal = (header.tag & classBits) === 0
  const isConstructed = (header.tag & constructed) !== 0
  if (isUniversal) holdForm(header, position)
  if (!isConstructed) {
    if (isUniversal) holdPrimitive(bytes, header, position)
    return header.end
  }
  const starts: number[] = []
  for (let next = header.start; next < header.end; ) {
    starts.push(next)
    next = walk(bytes, next, header.end, depth + 1)
  }
  if (header.tag === universal.set) holdOrder(bytes, starts, header.end)
  return header.end
}

function readHeader(bytes: Uint8Array, position: number, end: number): Header {
  const at = (index: number): number => {
    const byte = index < end ? bytes[index] : undefined
    if (byte === undefined) throw new DerFault(position, 'a value ends early')
    return byte
  }
  const tag = at(position)
  if ((tag & 0x1f) === 0x1f) throw new DerFault(position, 'a tag of several bytes')
  const first = at(position + 1)
  let start = position + 2
  let length = first
  if (first === 0x80) throw new DerFault(position, 'an indefinite length')
  if (first > 0x80) {
    const count = first & 0x7f
    if (count > 4) throw new DerFault(position, 'a length of more than four bytes')
    length = 0
    for (let index = 0; index < count; index++) length = length * 256 + at(start + index)
    if (length < 0x80 || at(start) === 0) throw new DerFault(position, 'a length that could be shorter')
    start += count
  }
  if (length > end - start) throw new DerFault(position, 'a value that is longer than what holds it')
  return { tag, start, end: start + length }
}

function holdForm({ tag }: Header, position: number): void {
  const number = tag & 0x1f
  if (tag === universal.sequence || tag === universal.set) return
  if ((tag & constructed) !== 0 || !primitives.has(number))
    throw new DerFault(position, 'a type in a form that it cannot have')
}

function holdPrimitive(bytes: Uint8Array, { tag, start, end }: Header, position: number): void {
  const first = bytes[start] ?? 0
  const second = bytes[start + 1] ?? 0
  const length = end - start
  switch (tag) {
    case universal.boolean:
      if (length !== 1 || (first !== 0 && first !== 0xff)) throw new DerFault(position, 'a truth value in another form')
      return
    case universal.integer:
    case universal.enumerated:
      if (length === 0) throw new DerFault(position, 'a number without digits')
      if (length > 1 && ((first === 0 && second < 0x80) || (first === 0xff && second >= 0x80)))
        throw new DerFault(position, 'a number that could be shorter')
      return
    case universal.bitString:
      holdBits(bytes, start, end, position)
      return
    case universal.null:
      if (length !== 0) throw new DerFault(position, 'a null that holds something')
      return
    case universal.objectIdentifier:
      holdIdentifier(bytes.subarray(start, end), position)
      return
    case universal.utcTime:
      if (!/^\d{12}Z$/.test(latin(bytes, start, end))) throw new DerFault(position, 'a time in another form')
      return
    case universal.generalizedTime:
      // A fraction ends in no zero (X.690, 11.7).
      if (!/^\d{14}(\.\d*[1-9])?Z$/.test(latin(bytes, start, end)))
        throw new DerFault(position, 'a time in another form')
  }
}

const latin = (bytes: Uint8Array, start: number, end: number): string =>
  String.fromCharCode(...bytes.subarray(start, Math.min(end, start + 40)))

function holdBits(bytes: Uint8Array, start: number, end: number, position: number): void {
  const unused = bytes[start] ?? 8
  const last = bytes[end - 1] ?? 0
  if (end - start === 0 || unused > 7 || (end - start === 1 && unused !== 0))
    throw new DerFault(position, 'a bit string without its count of unused bits')
  if (end - start > 1 && (last & ((1 << unused) - 1)) !== 0) throw new DerFault(position, 'unused bits that are set')
}

/** Each part ends with a byte below 0x80, and begins with none that is 0x80 (X.690, 8.19.2). */
function holdIdentifier(content: Uint8Array, position: number): void {
  const ends = content.length > 0 && (content.at(-1) ?? 0x80) < 0x80
  const isShort = content.every((byte, index) => byte !== 0x80 || (index > 0 && (content[index - 1] ?? 0) >= 0x80))
  if (!ends || !isShort) throw new DerFault(position, 'an object identifier in another form')
}

/** Members of a SET OF stand in ascending order of their encodings (X.690, 11.6). */
function holdOrder(bytes: Uint8Array, starts: readonly number[], end: number): void {
  const encodings = starts.map((start, index) => bytes.subarray(start, starts[index + 1] ?? end))
  for (const [index, encoding] of encodings.entries()) {
    const before = encodings[index - 1]
    if (before !== undefined && Buffer.compare(before, encoding) > 0)
      throw new DerFault(starts[index] ?? 0, 'members of a set in another order')
  }
}
