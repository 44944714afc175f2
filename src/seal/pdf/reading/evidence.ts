/** Revocation lists and responses that came with a signature: in it, signed with it, or in the file beside it. */
import { takeApart } from '../../cms/structure.ts'
import { type Evidence, evidenceInAttributes, evidenceInSignedData, withSource } from '../../revocation/evidence.ts'
import { arrayIn, catalogOf, dictionaryIn, type PdfFile } from './file.ts'
import { decodeStream } from './filters.ts'
import { SyntaxFault } from './syntax.ts'

/** In a signature, DER, in the file `source`. Nothing for what cannot be read. */
export function evidenceInSignature(der: Uint8Array, source: string): Evidence[] {
  try {
    const { revocations, signers } = takeApart(der)
    const [signer] = signers
    const attributes = signer === undefined ? [] : evidenceInAttributes(signer)
    return withSource([...evidenceInSignedData(revocations), ...attributes].slice(0, mostItems), source)
  } catch (error) {
    // asn1js throws plain errors and type errors for bytes that are not what they claim.
    if (!(error instanceof Error) || 'code' in error) throw error
    return []
  }
}

/** In the document security store (ETSI EN 319 142-1, 5.4.2, from memory). */
export function evidenceInFile(file: PdfFile, source: string): Evidence[] {
  const catalog = catalogOf(file)
  const store = catalog === null ? null : dictionaryIn(file, catalog, 'DSS')
  const streams = (key: string) =>
    store === null
      ? []
      : arrayIn(file, store, key)
          .slice(0, mostItems)
          .flatMap((item) => {
            const stream = file.resolve(item)
            return stream?.kind === 'stream' ? tryDecode(stream) : []
          })
  return [
    ...streams('CRLs').map((der) => ({ kind: 'list' as const, der, source })),
    ...streams('OCSPs').map((der) => ({ kind: 'response' as const, der, source })),
  ]
}

/** Of each kind. */
const mostItems = 50

function tryDecode(stream: Parameters<typeof decodeStream>[0]): Uint8Array[] {
  try {
    return [decodeStream(stream)]
  } catch (error) {
    if (error instanceof SyntaxFault) return []
    throw error
  }
}
