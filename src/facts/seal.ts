/** What an examination of a packet's seal found, part by part. The seal room makes it; checks and reports read it. */

/**
 * The parts that a seal is judged by.
 * `structure`: is the bag well formed? `files`: is every file there, unchanged, and none beside? `signature`: does the
 * signature cover the manifest of the bag? `signer`: whose certificate is it, was it valid, is it trusted? `revocation`: was
 * a certificate revoked, of the signer, a stamp, or who vouches for them? `stamp`: does a time-stamp authority vouch for the
 * time? `renewal`: do later stamps carry the proof on?
 */
export const sealParts = ['structure', 'files', 'signature', 'signer', 'revocation', 'stamp', 'renewal'] as const
export type SealPartName = (typeof sealParts)[number]

/**
 * `holds`: proved. `broken`: proved to be otherwise. `doubtful`: neither, and a person must look. `absent`: there is none.
 * `unexamined`: an earlier part leaves nothing to examine.
 */
export type SealState = 'holds' | 'broken' | 'doubtful' | 'absent' | 'unexamined'

export interface SealPart {
  part: SealPartName
  state: SealState
  /** What was found, kebab-case; each part has its own. */
  code: string
  /** The same in a sentence for people, without a full stop. */
  text: string
  /** The file in the bag that it rests on; null where it rests on none. */
  file: string | null
  /** Single faults below it, as a rule one a file; empty when it holds, but for lists and answers that were not used. */
  faults: readonly SealFault[]
}

export interface SealFault {
  /** Path in the bag, or as a list of digests names it. */
  file: string
  code: string
  text: string
}

export interface SealCertificate {
  /** RFC 4514 string, the most particular part first: `CN=…,O=…`. */
  subject: string
  issuer: string
  serial: string
  /** SHA-256 of the DER, lower-case hexadecimal. */
  fingerprint: string
  /** RFC 3339, UTC. */
  validFrom: string
  validUntil: string
  /** The public key: `rsa-3072`, `ecdsa-p256`. */
  key: string
}

export interface SealStamp {
  file: string
  /** RFC 3339, UTC: the time that the authority vouches for. */
  time: string
  /** How far off it may be, in seconds; null when the authority does not say. */
  accuracySeconds: number | null
  authority: SealCertificate
  /** The digest of what was stamped: `sha-256`. */
  digest: string
  serial: string
  policy: string
}

/** What is known of the revocation of one certificate. */
export interface SealRevocation {
  /** The signature or stamp in the bag that rests on the certificate. */
  file: string
  subject: string
  /** SHA-256 of the certificate. */
  fingerprint: string
  state: 'holds' | 'broken' | 'doubtful' | 'unexamined'
  /** `not-revoked`, `revoked`, `revoked-after`, `revoked-later`, `no-current-answer`, `no-issuer`, `own-issuer`, `not-looked-up`. */
  code: string
  /** A sentence without a full stop. */
  text: string
}

export interface SealExamination {
  /** `sealed`: a bag with a signature. `bag`: a BagIt bag without. `list`: files beside a list of digests. */
  form: 'sealed' | 'bag' | 'list'
  /** In the order of `sealParts`; those that the form cannot have are left out. */
  parts: readonly SealPart[]
  signer: SealCertificate | null
  /** Signed by the signer's own clock, RFC 3339; null when it is not stated. */
  claimedTime: string | null
  /** The first is the token over the signature, the others renew it, in order. */
  stamps: readonly SealStamp[]
  /** The signer's certificate first, then those above it, then those of each stamp. */
  revocations: readonly SealRevocation[]
  /** Digest algorithms of the lists of files that were verified, strongest first: `sha-512`, `sha-256`, `md5`. */
  digests: readonly string[]
}
