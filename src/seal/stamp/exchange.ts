/** What is asked of a time-stamp authority, and what it answers (RFC 3161, sections 2.4.1 and 2.4.2). */
import { createHash } from 'node:crypto'
import { type BaseBlock, BitString, Boolean as BooleanBlock, Integer } from 'asn1js'
import { copy, derOf, integer, numberOf, octets, oid, parseBer, partsOf, sequence } from '../ber.ts'
import { type DigestName, nodeDigest, oidOfDigest } from '../certificates/algorithms.ts'
import { bitsOf, derBytes } from '../certificates/certificate.ts'
import { findDerFault } from '../der.ts'
import { SealError } from '../seal-error.ts'

export interface StampQuery {
  /** DER of the TimeStampReq. */
  der: Uint8Array
  digest: DigestName
  imprint: Uint8Array
  nonce: Uint8Array
}

/**
 * Asks for a stamp over `bytes`, with the certificates of the authority. `nonce`: 8 to 20 random bytes, so that no old
 * answer can pass for a new one.
 */
export function createStampQuery(bytes: Uint8Array, nonce: Uint8Array, digest: DigestName = 'sha-256'): StampQuery {
  const imprint = new Uint8Array(createHash(nodeDigest(digest)).update(bytes).digest())
  const positive = makePositive(nonce)
  const der = derOf(
    sequence(
      integer(1),
      sequence(sequence(oid(oidOfDigest(digest))), octets(imprint)),
      new Integer({ valueHex: copy(positive) }),
      new BooleanBlock({ value: true }),
    ),
  )
  return { der, digest, imprint, nonce: positive }
}

/** As the content of an INTEGER that is greater than zero and has no byte too many. */
function makePositive(nonce: Uint8Array): Uint8Array {
  const bytes = new Uint8Array(nonce)
  bytes[0] = ((bytes[0] ?? 0) & 0x3f) | 0x40
  return bytes
}

// RFC 3161, 2.4.2: PKIFailureInfo.
const failures: Readonly<Record<number, string>> = {
  0: 'the algorithm is not recognised or supported',
  2: 'the request is not permitted or supported',
  5: 'the data was in the wrong format',
  14: "the authority's clock is not available",
  15: 'the policy is not supported',
  16: 'the extension is not supported',
  17: 'the additional information is not understood or available',
  25: 'the request cannot be handled because of a fault of the authority',
}

const statuses: Readonly<Record<number, string>> = {
  2: 'it refuses',
  3: 'it is waiting',
  4: 'it warns of a revocation',
  5: 'it has been revoked',
}

/**
 * The token (DER of a ContentInfo) in an authority's answer. `where` names the authority in errors. Throws SealError
 * `stamp-refused` with the authority's reasons, `stamp-unusable` for what is no answer.
 */
export function readStampAnswer(der: Uint8Array, where: string): Uint8Array {
  const { status, texts, reasons, token } = takeAnswer(der, where)
  if (status > 1) {
    const why = [...texts, ...reasons].join('; ')
    throw new SealError(
      'stamp-refused',
      where,
      `the time-stamp authority ${where} gives no stamp: ${statuses[status] ?? `status ${status}`}${why === '' ? '' : ` (${why})`}`,
      'Try again later, or use another authority. What is sealed can be stamped later with "stamp".',
    )
  }
  if (token === null) throw unusable(where, 'it says that it stamped, and sends no stamp')
  return token
}

interface Answer {
  status: number
  texts: string[]
  reasons: string[]
  token: Uint8Array | null
}

function takeAnswer(der: Uint8Array, where: string): Answer {
  try {
    const [info, token, ...rest] = partsOf(parseBer(der))
    if (rest.length > 0) throw new RangeError('more follows the token')
    const [status, ...details] = partsOf(info)
    return {
      status: numberOf(status),
      texts: details.filter((block) => !(block instanceof BitString)).flatMap(readTexts),
      reasons: details.filter((block) => block instanceof BitString).flatMap(readReasons),
      token: token === undefined ? null : derBytes(token),
    }
  } catch (error) {
    throw unusable(where, `its answer is no time-stamp response (${(error as Error).message})`)
  }
}

const readTexts = (block: BaseBlock): string[] =>
  partsOf(block).map((text) => String((text as { valueBlock?: { value?: unknown } }).valueBlock?.value ?? ''))

function readReasons(block: BaseBlock): string[] {
  const bytes = bitsOf(block)
  const isSet = (bit: number): boolean => ((bytes[bit >> 3] ?? 0) & (0x80 >> (bit & 7))) !== 0
  return Array.from({ length: bytes.length * 8 }, (_, bit) => bit)
    .filter(isSet)
    .map((bit) => failures[bit] ?? `failure ${bit}`)
}

const unusable = (where: string, because: string): SealError =>
  new SealError(
    'stamp-unusable',
    where,
    `the answer of the time-stamp authority ${where} cannot be used: ${because}`,
    'Check the address: it must be that of an RFC 3161 time-stamp service.',
  )

/**
 * A TimeStampResp as it is kept: granted, without a word that nobody signed, so that it has one form alone and
 * `openssl ts -verify -in` reads it.
 */
export const wrapToken = (token: Uint8Array): Uint8Array => derOf(sequence(sequence(integer(0)), parseBer(token)))

/** The token in a TimeStampResp as `wrapToken` writes it. Throws RangeError for anything else. */
export function unwrapToken(response: Uint8Array): Uint8Array {
  const fault = findDerFault(response)
  if (fault !== null) throw new RangeError(`it is not in its one encoding (DER): ${fault}`)
  const [, token] = partsOf(parseBer(response))
  if (token === undefined) throw new RangeError('it holds no token')
  const der = derBytes(token)
  if (Buffer.compare(wrapToken(der), response) !== 0)
    throw new RangeError('it says more than that the stamp was granted, which nobody signed')
  return der
}
