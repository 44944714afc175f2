/** Revocation lists and answers of authorities, from files of the user's own. */
import { SealError } from '../seal-error.ts'
import type { TrustFile } from '../trust.ts'
import type { Evidence } from './evidence.ts'
import { parseList } from './list.ts'
import { parseResponse } from './response.ts'

/** Labels of PEM: that of RFC 7468, section 6, for lists; for answers none is standard, and this one is usual. */
const labels: Readonly<Record<string, Evidence['kind']>> = { 'X509 CRL': 'list', 'OCSP RESPONSE': 'response' }

const blocks = /-----BEGIN ([A-Z0-9 ]+)-----([\s\S]*?)-----END \1-----/g

/** DER begins with SEQUENCE (X.690, 8.9). */
const sequenceTag = 0x30

/**
 * What the files hold, in their order. A file is one revocation list (RFC 5280) or one answer (OCSPResponse, RFC 6960) in
 * DER, or text with any number of them in PEM. Whether anything may be believed is seen when it is used.
 * @throws SealError `revocation-unusable` for a file that holds neither.
 */
export function readRevocationFiles(files: readonly TrustFile[]): Evidence[] {
  return files.flatMap(({ path, data }) => {
    if (data[0] === sequenceTag) return [{ kind: tellKind(path, data), der: new Uint8Array(data), source: path }]
    const found = [...new TextDecoder().decode(data).matchAll(blocks)].map(([, label = '', body = '']) => {
      const kind = labels[label]
      if (kind === undefined) throw unusable(path, `holds a ${label.toLowerCase()}`)
      return { kind, der: new Uint8Array(Buffer.from(body, 'base64')), source: path }
    })
    if (found.length === 0) throw unusable(path, 'holds neither a revocation list nor an answer of an authority')
    return found
  })
}

/** An answer begins with its status, a list with what is signed. */
function tellKind(path: string, der: Uint8Array): Evidence['kind'] {
  const faults: string[] = []
  for (const [kind, parse] of [['list', parseList] as const, ['response', parseResponse] as const])
    try {
      parse(der)
      return kind
    } catch (error) {
      // asn1js throws plain errors and type errors for bytes that are not what they claim.
      if (!(error instanceof Error) || 'code' in error) throw error
      faults.push(error.message)
    }
  throw unusable(path, `holds neither a revocation list (${faults[0]}) nor an answer of an authority (${faults[1]})`)
}

const unusable = (path: string, because: string): SealError =>
  new SealError(
    'revocation-unusable',
    path,
    `the revocation file ${path} ${because}`,
    'Give revocation lists (CRL) and answers of authorities (OCSP responses), in DER or PEM.',
  )
