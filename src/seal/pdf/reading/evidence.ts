/** Revocation lists and responses that came with a signature: in it, signed with it, or in the file beside it. */
import { members, oidOf, parseBer, rawOf } from '../../ber.ts'
import { takeApart } from '../../cms/structure.ts'
import { arrayIn, catalogOf, dictionaryIn, type PdfFile } from './file.ts'
import { decodeStream } from './filters.ts'
import { SyntaxFault } from './syntax.ts'

export interface RevocationEvidence {
  lists: Uint8Array[]
  responses: Uint8Array[]
}

/** RevocationInfoArchival, an attribute of the signer's (ISO 32000-1, 12.8.3.3.2, from memory). */
const archival = '1.2.840.113583.1.1.8'

/** In a signature, DER. Nothing for what cannot be read. */
export function evidenceInSignature(der: Uint8Array): RevocationEvidence {
  try {
    const data = takeApart(der)
    const attribute = data.signers[0]?.signed.get(archival)?.[0]
    const archived = attribute === undefined ? [] : members(attribute)
    const under = (number: number) =>
      archived
        .filter(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === number)
        .flatMap((tagged) => members(members(tagged)[0]).map(rawOf))
    // A choice under a tag is of another format than a list (RFC 5652, 10.2.1).
    const lists = data.revocations.filter((one) => one[0] === sequenceTag)
    return { lists: [...lists, ...under(0)], responses: [...under(1), ...data.revocations.flatMap(responseIn)] }
  } catch (error) {
    // asn1js throws plain errors and type errors for bytes that are not what they claim.
    if (!(error instanceof Error) || 'code' in error) throw error
    return { lists: [], responses: [] }
  }
}

const sequenceTag = 0x30
const otherFormatTag = 0xa1
const ocspResponse = '1.3.6.1.5.5.7.16.2'

/** RFC 5940: [1] with the format and the response. */
function responseIn(der: Uint8Array): Uint8Array[] {
  if (der[0] !== otherFormatTag) return []
  const [format, response] = members(parseBer(der))
  return response !== undefined && oidOf(format) === ocspResponse ? [rawOf(response)] : []
}

/** In the document security store (ETSI EN 319 142-1, 5.4.2, from memory). */
export function evidenceInFile(file: PdfFile): RevocationEvidence {
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
  return { lists: streams('CRLs'), responses: streams('OCSPs') }
}

const mostItems = 50

function tryDecode(stream: Parameters<typeof decodeStream>[0]): Uint8Array[] {
  try {
    return [decodeStream(stream)]
  } catch (error) {
    if (error instanceof SyntaxFault) return []
    throw error
  }
}
