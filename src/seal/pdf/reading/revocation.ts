/**
 * Was the signer's certificate revoked? Answered from what came with the file alone: revocation lists (RFC 5280, section 5)
 * and responses of an authority (OCSP, RFC 6960). Only the signer's own certificate is asked about, not those above it.
 */
import { createHash } from 'node:crypto'
import { type BaseBlock, GeneralizedTime, Integer, UTCTime } from 'asn1js'
import type { PdfSignature } from '../../../facts/pdf-signature.ts'
import { members, octetsOf, oidOf, only, parseBer } from '../../ber.ts'
import { nodeDigest, readDigest, readScheme, verifySignature } from '../../certificates/algorithms.ts'
import {
  bitsOf,
  type Certificate,
  derBytes,
  parseCertificate,
  same,
  writeTime,
} from '../../certificates/certificate.ts'

export interface RevocationQuestion {
  signer: Certificate
  /** Where the issuer is looked for. */
  known: readonly Certificate[]
  lists: readonly Uint8Array[]
  responses: readonly Uint8Array[]
  /** The time at which the certificate must have been good. */
  at: Date
}

type Answer = NonNullable<PdfSignature['revocation']>

const answer = (state: Answer['state'], code: string, text: string): Answer => ({ state, code, text })

interface Statement {
  /** Null: not revoked. */
  revokedAt: Date | null
  from: Date
  /** When the next one is due; null where that is not said. */
  until: Date | null
  source: string
}

/** Never throws for what the bytes are. */
export function answerRevocation(question: RevocationQuestion): Answer {
  const { signer, known, lists, responses, at } = question
  if (same(signer.subject, signer.issuer))
    return answer('holds', 'own-issuer', 'The certificate has no authority above it that could revoke it')
  if (lists.length + responses.length === 0)
    return answer('doubtful', 'no-answer', 'The file carries no answer on whether the certificate was revoked')
  const issuers = known.filter((one) => vouches(one, signer))
  const statements = issuers.flatMap((issuer) => [
    ...lists.flatMap((der) => attempt(() => readList(der, signer, issuer))),
    ...responses.flatMap((der) => attempt(() => readResponse(der, signer, issuer))),
  ])
  const revoked = statements.find(({ revokedAt }) => revokedAt !== null && revokedAt <= at)
  if (revoked?.revokedAt) {
    const text = `The certificate was revoked on ${writeTime(revoked.revokedAt)} (${revoked.source})`
    return answer('broken', 'revoked', text)
  }
  const current = statements.find(({ from, until }) => from >= at || (until !== null && until >= at))
  if (current !== undefined)
    return answer(
      'holds',
      'not-revoked',
      `The certificate was not revoked (${current.source} of ${writeTime(current.from)})`,
    )
  return answer('doubtful', 'no-current-answer', 'No answer that came with the file is for this certificate and time')
}

const vouches = (issuer: Certificate, { issuer: name, scheme, signed, signature }: Certificate): boolean =>
  same(issuer.subject, name) && scheme !== null && verifySignature(scheme, issuer.key, signed, signature)

/** None where the bytes are not what they should be. */
function attempt(read: () => Statement | null): Statement[] {
  try {
    const found = read()
    return found === null ? [] : [found]
  } catch (error) {
    // asn1js throws plain errors and type errors for bytes that are not what they claim.
    if (!(error instanceof Error) || 'code' in error) throw error
    return []
  }
}

const isTime = (block: BaseBlock | undefined): block is UTCTime | GeneralizedTime =>
  block instanceof UTCTime || block instanceof GeneralizedTime

function timeOf(block: BaseBlock | undefined): Date {
  if (isTime(block)) return block.toDate()
  throw new RangeError('a time is missing')
}

const isTag = (block: BaseBlock | undefined, number: number): block is BaseBlock =>
  block?.idBlock.tagClass === 3 && block.idBlock.tagNumber === number

/** Of a signature over the first of three parts: the algorithm and the bits that follow it. */
function isSignedBy([content, algorithm, bits]: readonly BaseBlock[], key: Certificate['key']): boolean {
  const scheme = readScheme(algorithm)
  return scheme !== null && verifySignature(scheme, key, derBytes(content), bitsOf(bits))
}

/** What a list of the issuer says of the signer; null for a list of somebody else's, or with rules that are not followed. */
function readList(der: Uint8Array, signer: Certificate, issuer: Certificate): Statement | null {
  const parts = members(parseBer(der))
  const mayList = issuer.keyUsage === null || issuer.keyUsage.has('cRLSign')
  if (!mayList || !isSignedBy(parts, issuer.key)) return null
  const fields = members(parts[0])
  // The first version is not stated.
  const rest = fields.slice(fields[0] instanceof Integer ? 1 : 0)
  const [, name, thisUpdate, ...more] = rest
  if (name === undefined || !same(derBytes(name), issuer.subject)) return null
  const until = isTime(more[0]) ? timeOf(more.shift()) : null
  const entries = more[0] !== undefined && !isTag(more[0], 0) ? members(more.shift()) : []
  // A critical extension limits the list to some certificates, or makes it an addition to another (RFC 5280, 5.2).
  const extensions = isTag(more[0], 0) ? members(only(more[0])) : []
  if (extensions.some((extension) => members(extension).length > 2)) return null
  const entry = entries
    .map((one) => members(one))
    .find(([serial]) => serial !== undefined && same(derBytes(serial), signer.serial))
  const revokedAt = entry === undefined ? null : timeOf(entry[1])
  return { revokedAt, from: timeOf(thisUpdate), until, source: 'a revocation list' }
}

const basicResponse = '1.3.6.1.5.5.7.48.1.1'
const ocspSigning = '1.3.6.1.5.5.7.3.9'

/** What a response by the issuer, or by whom the issuer appointed, says of the signer; null where it is about others. */
function readResponse(der: Uint8Array, signer: Certificate, issuer: Certificate): Statement | null {
  const [, body] = members(parseBer(der))
  const [type, octets] = members(only(body))
  if (oidOf(type) !== basicResponse) return null
  const parts = members(parseBer(octetsOf(octets)))
  const carried = parts[3] === undefined ? [] : members(only(parts[3])).map((one) => parseCertificate(derBytes(one)))
  const appointed = carried.filter((one) => one.purposes?.includes(ocspSigning) && vouches(issuer, one))
  if (![issuer, ...appointed].some(({ key }) => isSignedBy(parts, key))) return null
  const singles = members(
    members(parts[0]).find((field) => field.idBlock.tagClass === 1 && field.idBlock.tagNumber === 16),
  )
  for (const single of singles) {
    const [id, status, thisUpdate, ...more] = members(single)
    if (!isAbout(id, signer, issuer)) continue
    const next = more.find((one) => isTag(one, 0))
    const common = {
      from: timeOf(thisUpdate),
      until: next === undefined ? null : timeOf(only(next)),
      source: 'an answer of its authority',
    }
    if (isTag(status, 0)) return { ...common, revokedAt: null }
    if (isTag(status, 1)) return { ...common, revokedAt: timeOf(members(status)[0]) }
  }
  return null
}

/** CertID (RFC 6960, 4.1.1): hashes of the issuer's name and key, and the serial number. */
function isAbout(id: BaseBlock | undefined, signer: Certificate, issuer: Certificate): boolean {
  const [algorithm, nameHash, keyHash, serial] = members(id)
  const digest = readDigest(algorithm)
  if (digest === null || serial === undefined || !same(derBytes(serial), signer.serial)) return false
  const hash = (bytes: Uint8Array) => createHash(nodeDigest(digest)).update(bytes).digest()
  const [, key] = members(parseBer(new Uint8Array(issuer.key.export({ type: 'spki', format: 'der' }))))
  return same(octetsOf(nameHash), hash(issuer.subject)) && same(octetsOf(keyHash), hash(bitsOf(key)))
}
