/**
 * From a signer to somebody whom the user trusts (RFC 5280, section 6): every rule is held here, on a path found among the
 * certificates at hand. Names compare as section 7.1 says; no policy is asked for, and what authorities require of
 * policies and names is held.
 */
import { type AlgorithmRule, judgeAlgorithm } from '../../facts/algorithms.ts'
import type { TrustList } from '../signer.ts'
import { nameAlgorithm, verifySignature } from './algorithms.ts'
import { type Certificate, parseCertificate, writeTime } from './certificate.ts'
import { sameName } from './name.ts'
import { findNameFault } from './name-constraints.ts'
import { findPolicyFault } from './policies.ts'

/** `revocation`: to sign revocation lists or answers; whether it may, the caller sees. */
export type Purpose = 'document' | 'time-stamp' | 'revocation'

export interface PathQuestion {
  leaf: Certificate
  /** What came with the signature; nobody is trusted for standing among them. */
  carried: readonly Certificate[]
  trust: TrustList
  at: Date
  purpose: Purpose
  policy: readonly AlgorithmRule[]
}

export interface PathAnswer {
  /** `doubtful`: no path leads to anybody on the trust list. */
  state: 'holds' | 'broken' | 'doubtful'
  code: string
  /** A sentence without a full stop. */
  text: string
  /** From the signer to the trusted certificate; null where none holds. */
  path: readonly Certificate[] | null
}

interface Fault {
  code: string
  text: string
}

/** Judges the signer itself, then looks for a path on which every rule holds. */
export function findPath(question: PathQuestion): PathAnswer {
  const { leaf } = question
  const fault = findPurposeFault(leaf, question.purpose) ?? findFault(leaf, question)
  if (fault !== null) return { state: 'broken', ...fault, path: null }
  const faults: Fault[] = []
  const path = climb([leaf], makeSearch(question), faults)
  if (path !== null) {
    const anchor = path.at(-1) as Certificate
    const text =
      path.length === 1
        ? 'The signer is on the trust list'
        : `The signer is vouched for by ${anchor.facts.subject}, who is on the trust list`
    return { state: 'holds', code: 'trusted', text, path }
  }
  const [worst] = faults
  if (worst !== undefined) return { state: 'broken', ...worst, path: null }
  return {
    state: 'doubtful',
    code: 'not-listed',
    text: 'Neither the signer nor anybody who vouches for the signer is on the trust list',
    path: null,
  }
}

interface Search {
  question: PathQuestion
  /** Carried and trusted, each once. */
  candidates: readonly Certificate[]
  isTrusted(certificate: Certificate): boolean
  /** Signatures that may still be verified. */
  left: number
}

function makeSearch(question: PathQuestion): Search {
  const { trust, carried } = question
  const known = new Map(
    [...carried, ...trust.certificates.map(parseCertificate)].map((one) => [one.facts.fingerprint, one]),
  )
  const pinned = new Set([
    ...trust.fingerprints,
    ...trust.certificates.map((der) => parseCertificate(der).facts.fingerprint),
  ])
  return {
    question,
    candidates: [...known.values()],
    isTrusted: ({ facts }) => pinned.has(facts.fingerprint),
    left: mostSignatures,
  }
}

/** Longer paths are nobody's, and a maze of cross-certificates must end, be it of authorities of one name and key. */
const longestPath = 8
const mostSignatures = 1000

/** A path from the last of `path` upwards; faults of paths that would otherwise have led to trust are added to `faults`. */
function climb(path: readonly Certificate[], search: Search, faults: Fault[]): readonly Certificate[] | null {
  const last = path.at(-1) as Certificate
  if (search.isTrusted(last)) {
    const fault = findPathFault(path, search.question)
    if (fault === null) return path
    faults.push(fault)
    return null
  }
  if (path.length === longestPath) return null
  for (const issuer of search.candidates) {
    if (path.includes(issuer) || !sameName(issuer.subjectName, last.issuerName)) continue
    if (--search.left < 0) return null
    if (!vouchesFor(issuer, last)) continue
    const found = climb([...path, issuer], search, faults)
    if (found !== null) return found
  }
  return null
}

/** Is the certificate signed by the key of `issuer`, under the name of `issuer`? */
export const vouchesFor = (issuer: Certificate, { issuerName, scheme, signed, signature }: Certificate): boolean =>
  sameName(issuer.subjectName, issuerName) && scheme !== null && verifySignature(scheme, issuer.key, signed, signature)

/** The first rule that a path breaks. Its signatures hold already. */
function findPathFault(path: readonly Certificate[], question: PathQuestion): Fault | null {
  for (const [index, issuer] of path.entries()) {
    if (index === 0) continue
    const fault = findFault(issuer, question) ?? findAuthorityFault(issuer, path, index)
    if (fault !== null) return fault
    const below = path[index - 1] as Certificate
    const weak = findWeakSignature(below, issuer, question)
    if (weak !== null) return weak
  }
  return findLimit(path)
}

/** What authorities on the path say whom they may vouch for, and by which policies. */
function findLimit(path: readonly Certificate[]): Fault | null {
  try {
    const name = findNameFault(path)
    if (name !== null) return { code: 'name-not-permitted', text: name }
    const policy = findPolicyFault(path)
    return policy === null ? null : { code: 'policy-missing', text: policy }
  } catch (error) {
    // asn1js throws plain errors and type errors for bytes that are not what they claim.
    if (!(error instanceof Error) || 'code' in error) throw error
    return { code: 'malformed', text: `What an authority is limited to cannot be read: ${error.message}` }
  }
}

function findAuthorityFault(issuer: Certificate, path: readonly Certificate[], index: number): Fault | null {
  const name = issuer.facts.subject
  if (!issuer.isAuthority) return { code: 'not-an-authority', text: `${name} vouches for another and is no authority` }
  if (issuer.keyUsage !== null && !issuer.keyUsage.has('keyCertSign'))
    return { code: 'not-an-authority', text: `${name} may not sign certificates` }
  // Self-issued certificates do not count (RFC 5280, 4.2.1.9), nor does the last one.
  const below = path.slice(1, index).filter((one) => !sameName(one.subjectName, one.issuerName)).length
  if (issuer.pathLength !== null && below > issuer.pathLength)
    return {
      code: 'path-too-long',
      text: `${name} may have ${issuer.pathLength} authorities beneath it, and has ${below}`,
    }
  return null
}

/** What is wrong with a certificate wherever it stands on the path. */
function findFault(certificate: Certificate, { at, policy }: PathQuestion): Fault | null {
  const { facts, notBefore, notAfter, unknownCritical } = certificate
  if (at < notBefore)
    return {
      code: 'not-yet-valid',
      text: `The certificate of ${facts.subject} was not yet valid on ${writeTime(at)}, but only from ${facts.validFrom}`,
    }
  if (at > notAfter)
    return {
      code: 'expired',
      text: `The certificate of ${facts.subject} had expired on ${writeTime(at)}; it was valid until ${facts.validUntil}`,
    }
  if (unknownCritical.length > 0)
    return {
      code: 'critical-extension',
      text: `The certificate of ${facts.subject} has a critical extension that is not understood: ${unknownCritical.join(', ')}`,
    }
  const bits = certificate.key.asymmetricKeyDetails?.modulusLength ?? null
  const name = bits === null ? facts.key : 'rsa-pkcs1'
  const known = policy.some((rule) => rule.name === name)
  if (!known)
    return { code: 'key-weak', text: `The key of ${facts.subject} (${facts.key}) is of a kind that is not relied on` }
  const { answer, until } = judgeAlgorithm(policy, name as AlgorithmRule['name'], writeTime(at).slice(0, 10), bits)
  if (answer === 'allowed') return null
  return {
    code: 'key-weak',
    text: `The key of ${facts.subject} (${facts.key}) is ${until === null ? 'not relied on' : `relied on only until ${until}`}`,
  }
}

function findWeakSignature(below: Certificate, issuer: Certificate, { at, policy }: PathQuestion): Fault | null {
  const { scheme, facts } = below
  const day = writeTime(at).slice(0, 10)
  const named = scheme === null ? null : nameAlgorithm(scheme, issuer.key)
  const answers =
    scheme === null || named === null
      ? ['unknown']
      : [judgeAlgorithm(policy, named.name, day, named.bits).answer, judgeAlgorithm(policy, scheme.digest, day).answer]
  if (answers.every((answer) => answer === 'allowed')) return null
  return {
    code: 'algorithm-weak',
    text: `The certificate of ${facts.subject} is signed with ${named?.name ?? 'an unknown algorithm'} and ${scheme?.digest ?? 'an unknown digest'}, which is not relied on`,
  }
}

/** Object identifiers of RFC 5280, 4.2.1.12, and RFC 9336. */
const purposes = {
  any: '2.5.29.37.0',
  email: '1.3.6.1.5.5.7.3.4',
  timeStamping: '1.3.6.1.5.5.7.3.8',
  documentSigning: '1.3.6.1.5.5.7.3.36',
} as const

const forDocuments: ReadonlySet<string> = new Set([purposes.any, purposes.email, purposes.documentSigning])

/** Whether the certificate is for what it was used for. */
export function findPurposeFault(
  { keyUsage, purposes: own, purposesCritical, facts }: Certificate,
  purpose: Purpose,
): Fault | null {
  if (purpose === 'revocation') return null
  const mayVouch = keyUsage === null || keyUsage.has('digitalSignature') || keyUsage.has('nonRepudiation')
  if (!mayVouch) return { code: 'wrong-usage', text: `The key of ${facts.subject} is not for signatures` }
  if (purpose === 'document') {
    if (own === null || own.some((oid) => forDocuments.has(oid))) return null
    return { code: 'wrong-purpose', text: `The certificate of ${facts.subject} is not for signing documents` }
  }
  // RFC 3161, 2.3: time stamping, alone and critical.
  const isAlone = own !== null && own.length === 1 && own[0] === purposes.timeStamping
  if (isAlone && purposesCritical) return null
  return {
    code: 'wrong-purpose',
    text: `The certificate of ${facts.subject} is not one for time stamping alone (RFC 3161, 2.3)`,
  }
}

/**
 * Carried certificates that nothing at hand vouches for: whoever changed their bytes would leave no trace. Each must
 * verify under another carried or trusted certificate, or under itself.
 */
export function findUnverified(carried: readonly Certificate[], trust: TrustList): Certificate[] {
  const issuers = [...carried, ...trust.certificates.map(parseCertificate)]
  return carried.filter((one) => !issuers.some((issuer) => vouchesFor(issuer, one)))
}
