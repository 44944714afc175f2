/** Who signs: a certificate with its issuers, and a key that stays where it is. */

/** `rsa-pkcs1` is RSASSA-PKCS1-v1_5 (RFC 8017); an ECDSA signature is the DER of its two integers (RFC 3279). */
export type SigningAlgorithm = 'rsa-pkcs1' | 'ecdsa-p256' | 'ecdsa-p384'

export interface Signer {
  /** DER of the signer's certificate. */
  certificate: Uint8Array
  /** DER of its issuers, the nearest first; the root may be left out. */
  issuers: readonly Uint8Array[]
  algorithm: SigningAlgorithm
  /** The digest that `sign` computes: SHA-256 for RSA and P-256, SHA-384 for P-384. */
  digest: 'sha-256' | 'sha-384'
  /** Digests and signs `bytes`. */
  sign(bytes: Uint8Array): Promise<Uint8Array>
}

/** Whom the user trusts. Nothing inside a packet ever adds to it. */
export interface TrustList {
  /** DER of trusted certificates: authorities, or single signers. */
  certificates: readonly Uint8Array[]
  /** SHA-256 of trusted certificates, lower-case hexadecimal: pinned by the user. */
  fingerprints: readonly string[]
}

/** The list of a user who has named none. */
export const nobody: TrustList = { certificates: [], fingerprints: [] }
