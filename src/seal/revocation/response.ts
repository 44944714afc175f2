/**
 * Answers of an authority on single certificates (OCSP, RFC 6960, 4.2), read. Whether they are signed by somebody who may
 * is for `judge.ts`.
 *
 *     OCSPResponse      ::= SEQUENCE { responseStatus ENUMERATED, [0] EXPLICIT SEQUENCE { type, OCTET STRING } OPTIONAL }
 *     BasicOCSPResponse ::= SEQUENCE { tbsResponseData, signatureAlgorithm, signature, certs [0] EXPLICIT OPTIONAL }
 *     ResponseData      ::= SEQUENCE { version [0] DEFAULT v1, responderID, producedAt, responses SEQUENCE OF
 *                             SingleResponse, responseExtensions [1] EXPLICIT OPTIONAL }
 *     SingleResponse    ::= SEQUENCE { certID, certStatus, thisUpdate, nextUpdate [0] EXPLICIT OPTIONAL,
 *                             singleExtensions [1] EXPLICIT OPTIONAL }
 */
import { createHash } from 'node:crypto'
import { type BaseBlock, Enumerated } from 'asn1js'
import { isTagged, members, octetStringOf, octetsOf, oidOf, only, parseBer, partsOf } from '../ber.ts'
import { nodeDigest, readDigest, readScheme, type SignatureScheme } from '../certificates/algorithms.ts'
import {
  bitsOf,
  type Certificate,
  derBytes,
  type Extension,
  octetsOfBits,
  parseCertificate,
  readExtensions,
  same,
} from '../certificates/certificate.ts'
import { keysOfName, sameName } from '../certificates/name.ts'
import { holdDer, type Revocation, timeOf } from './list.ts'

export interface RevocationResponse {
  /** Who says it: by name or by SHA-1 of the key. */
  responder: { name: readonly string[] } | { key: Uint8Array }
  producedAt: Date
  answers: readonly ResponseAnswer[]
  /** Certificates that came with it; nobody is believed for standing among them. */
  carried: readonly Certificate[]
  /** Critical extensions that are not understood: it may not be used then. */
  unknownCritical: readonly string[]
  signed: Uint8Array
  scheme: SignatureScheme | null
  signature: Uint8Array
}

export interface ResponseAnswer {
  id: BaseBlock
  status: 'good' | 'revoked' | 'unknown'
  /** Of a revoked certificate. */
  revocation: Revocation | null
  from: Date
  until: Date | null
  /** It speaks for certificates that expired since then (archive cutoff, RFC 6960, 4.4.4); null where that is not said. */
  keepsExpiredSince: Date | null
}

/** Type of the answer that everybody gives (RFC 6960, 4.2.1). */
export const basicResponse = '1.3.6.1.5.5.7.48.1.1'

const oids = { archiveCutoff: '1.3.6.1.5.5.7.48.1.6' } as const

/** Words for responseStatus (RFC 6960, 4.2.1). */
const failures: Readonly<Record<number, string>> = {
  1: 'it could not read the request',
  2: 'it failed within',
  3: 'it asks to try later',
  5: 'it wants a signed request',
  6: 'it does not answer whoever asked',
}

/** Throws RangeError, and what asn1js throws, for what is no answer, and for one that refuses. */
export function parseResponse(der: Uint8Array): RevocationResponse {
  holdDer(der)
  const [status, body, ...beyond] = partsOf(parseBer(der))
  if (!(status instanceof Enumerated)) throw new RangeError('its status is missing')
  const code = Number(status.toBigInt())
  if (code !== 0) throw new RangeError(`the authority refused: ${failures[code] ?? `status ${code}`}`)
  const [type, octets, ...more] = partsOf(only(body))
  if (oidOf(type) !== basicResponse) throw new RangeError(`it is of another type: ${oidOf(type)}`)
  const basic = octetStringOf(octets)
  holdDer(basic)
  const [data, algorithm, bits, certificates, ...rest] = partsOf(parseBer(basic))
  if (!isTagged(body, 0) || beyond.length + more.length + rest.length > 0) throw new RangeError('it has too many parts')
  if (certificates !== undefined && !isTagged(certificates, 0)) throw new RangeError('its certificates are none')
  const fields = partsOf(data)
  // The first version is left out as a rule.
  if (isTagged(fields[0], 0)) fields.shift()
  const [responder, producedAt, answers, extensionBlock] = fields
  const extensions = extensionBlock === undefined ? new Map<string, Extension>() : readExtensions(extensionBlock)
  const critical = [...extensions].filter(([, one]) => one.critical).map(([oid]) => oid)
  const read = partsOf(answers).map(readAnswer)
  return {
    responder: readResponder(responder),
    producedAt: timeOf(producedAt),
    answers: read.map(({ answer }) => answer),
    carried:
      certificates === undefined ? [] : partsOf(only(certificates)).map((one) => parseCertificate(derBytes(one))),
    unknownCritical: [...critical, ...read.flatMap(({ unknown }) => unknown)],
    signed: derBytes(data),
    scheme: readScheme(algorithm),
    signature: octetsOfBits(bits),
  }
}

function readResponder(block: BaseBlock | undefined): RevocationResponse['responder'] {
  if (isTagged(block, 1)) return { name: keysOfName(only(block)) }
  if (isTagged(block, 2)) return { key: octetStringOf(only(block)) }
  throw new RangeError('who answers is missing')
}

const states: Readonly<Record<number, ResponseAnswer['status']>> = { 0: 'good', 1: 'revoked', 2: 'unknown' }

function readAnswer(block: BaseBlock): { answer: ResponseAnswer; unknown: string[] } {
  const [id, state, thisUpdate, ...more] = partsOf(block)
  const status = state?.idBlock.tagClass === 3 ? states[state.idBlock.tagNumber] : undefined
  if (id === undefined || state === undefined || status === undefined)
    throw new RangeError('an answer lacks its status')
  const next = more.find((one) => isTagged(one, 0))
  const extensionBlock = more.find((one) => isTagged(one, 1))
  const extensions = extensionBlock === undefined ? new Map<string, Extension>() : readExtensions(extensionBlock)
  const cutoff = extensions.get(oids.archiveCutoff)
  return {
    answer: {
      id,
      status,
      revocation: status === 'revoked' ? readRevocation(state) : null,
      from: timeOf(thisUpdate),
      until: next === undefined ? null : timeOf(only(next)),
      keepsExpiredSince: cutoff === undefined ? null : timeOf(parseBer(cutoff.value)),
    },
    unknown: [...extensions]
      .filter(([oid, { critical }]) => critical && oid !== oids.archiveCutoff)
      .map(([oid]) => oid),
  }
}

/** RevokedInfo: the time, and perhaps the reason under [0]. */
function readRevocation(state: BaseBlock): Revocation {
  const [date, tagged] = members(state)
  const reason = tagged === undefined ? null : only(tagged)
  if (reason !== null && !(reason instanceof Enumerated)) throw new RangeError('a reason of revocation is none')
  return { date: timeOf(date), reason: reason === null ? null : Number(reason.toBigInt()), invalidSince: null }
}

/** CertID (RFC 6960, 4.1.1): hashes of the issuer's name and key, and the serial number. */
export function isAbout(id: BaseBlock, certificate: Certificate, issuer: Certificate): boolean {
  const [algorithm, nameHash, keyHash, serial] = partsOf(id)
  const digest = readDigest(algorithm)
  if (digest === null || serial === undefined || !same(derBytes(serial), certificate.serial)) return false
  const hash = (bytes: Uint8Array) => createHash(nodeDigest(digest)).update(bytes).digest()
  return same(octetsOf(nameHash), hash(certificate.issuer)) && same(octetsOf(keyHash), hash(keyBits(issuer)))
}

/** The bits of the public key, without their algorithm. */
function keyBits({ key }: Certificate): Uint8Array {
  const [, bits] = partsOf(parseBer(new Uint8Array(key.export({ type: 'spki', format: 'der' }))))
  return bitsOf(bits)
}

/** Is this the certificate of whoever the answer says it is by? */
export const isResponder = (certificate: Certificate, { responder }: RevocationResponse): boolean =>
  'name' in responder
    ? sameName(certificate.subjectName, responder.name)
    : same(createHash('sha1').update(keyBits(certificate)).digest(), responder.key)
