/**
 * The signature inside a signed PDF: CMS as ETSI EN 319 142-1 wants it at its baseline levels. B-B: no signing time, which
 * stands in the signature dictionary; B-T: with a time-stamp token (RFC 3161) over the signature's value.
 */
import { createHash } from 'node:crypto'
import { members, octetsOf, parseBer } from '../ber.ts'
import { nodeDigest, readDigest } from '../certificates/algorithms.ts'
import { signDetached } from '../cms/sign.ts'
import { oids, takeApart } from '../cms/structure.ts'
import { SealError } from '../seal-error.ts'
import type { Signer } from '../signer.ts'

/** Has bytes stamped by an authority; gives the DER of the TimeStampToken over them. */
export type Stamp = (bytes: Uint8Array) => Promise<Uint8Array>

/** DER of the detached signature. Throws SealError `stamp-of-something-else` for a token that is not over it. */
export function signForPdf(content: Uint8Array, signer: Signer, stamp: Stamp | null): Promise<Uint8Array> {
  if (stamp === null) return signDetached(content, signer, { time: null })
  return signDetached(content, signer, { time: null, stamp: (signature) => stampSignature(signature, stamp) })
}

/** Whose authority it is, and whether it is trusted, is for whoever verifies. */
async function stampSignature(signature: Uint8Array, stamp: Stamp): Promise<Uint8Array> {
  const token = await stamp(signature)
  if (covers(token, signature)) return token
  throw new SealError(
    'stamp-of-something-else',
    'the time-stamp token',
    'the time-stamp authority stamped something else than the signature of the PDF',
    'Try again; if it happens again, choose another time-stamp authority.',
  )
}

function covers(token: Uint8Array, signature: Uint8Array): boolean {
  try {
    return isImprint(token, signature)
  } catch (error) {
    if (error instanceof RangeError) return false
    throw error
  }
}

/** TSTInfo ::= SEQUENCE { version, policy, messageImprint SEQUENCE { AlgorithmIdentifier, OCTET STRING }, … } */
function isImprint(token: Uint8Array, signature: Uint8Array): boolean {
  const { contentType, content } = takeApart(token)
  if (contentType !== oids.timeStampInfo || content === null) return false
  const [, , imprint] = members(parseBer(content))
  const [algorithm, hash] = members(imprint)
  const digest = readDigest(algorithm)
  if (digest === null) return false
  return createHash(nodeDigest(digest)).update(signature).digest().equals(octetsOf(hash))
}
