/** What tells whether certificates were revoked: where it came from, and what became of each piece of it. */
import { Enumerated } from 'asn1js'
import { derOf, explicit, members, octets, oid, oidOf, parseBer, rawOf, sequence } from '../ber.ts'
import type { SignerInfo } from '../cms/structure.ts'
import { parseList, type RevocationList } from './list.ts'
import { basicResponse, parseResponse, type RevocationResponse } from './response.ts'

/** A revocation list (RFC 5280, section 5) or an answer of an authority (OCSP, RFC 6960), as it came. */
export interface Evidence {
  kind: 'list' | 'response'
  der: Uint8Array
  /** For messages: the file that it is, or that it lay in. */
  source: string
}

/** A piece that settled nothing, and why. */
export interface UnusedEvidence {
  /** The file that it is, or that it lay in. */
  file: string
  code: string
  /** A sentence without a full stop. */
  text: string
}

/** Keeps for each piece whether anything rested on it, and else why nothing did. */
export interface EvidenceLedger {
  use(piece: Evidence): void
  refuse(piece: Evidence, code: string, because: string): void
  /** Counts a signature that is to be verified: false where there were too many, as in a maze of namesakes. */
  spend(): boolean
  /** Each of the pieces that nothing rests on. */
  unused(pieces: readonly Evidence[]): UnusedEvidence[]
}

/** Of several reasons for one piece, these say the least: it was asked about what it is not for. */
const weakest: ReadonlySet<string> = new Set(['another-authority', 'another-certificate'])

const nouns = { list: 'revocation list', response: 'answer of an authority' } as const

/** For all evidence on one file or bag; what nobody can want more of. */
const mostSignatures = 5000

function makeLedger(): EvidenceLedger {
  const used = new Set<Evidence>()
  const reasons = new Map<Evidence, { code: string; because: string }>()
  let spent = 0
  return {
    spend: () => ++spent <= mostSignatures,
    use: (piece) => used.add(piece),
    refuse(piece, code, because) {
      const before = reasons.get(piece)
      if (before === undefined || (weakest.has(before.code) && !weakest.has(code)))
        reasons.set(piece, { code, because })
    },
    unused: (pieces) => pieces.filter((piece) => !used.has(piece)).map((piece) => describe(piece, reasons.get(piece))),
  }
}

function describe({ kind, source }: Evidence, reason: { code: string; because: string } | undefined): UnusedEvidence {
  const { code, because } = reason ?? { code: 'not-asked', because: 'nothing that it could be about was asked' }
  return { file: source, code, text: `The ${nouns[kind]} in ${source} was not used: ${because}` }
}

/** Evidence that was read, in one ledger. */
export interface EvidenceStore {
  pieces: readonly Evidence[]
  lists: readonly { piece: Evidence; list: RevocationList }[]
  responses: readonly { piece: Evidence; response: RevocationResponse }[]
  ledger: EvidenceLedger
}

/** What can be read of `pieces`, beside what is in `store` already; the rest is refused in the ledger that they share. */
export function readEvidence(pieces: readonly Evidence[], store: EvidenceStore | null = null): EvidenceStore {
  const ledger = store?.ledger ?? makeLedger()
  const read = <Kind>(kind: Evidence['kind'], parse: (der: Uint8Array) => Kind) =>
    pieces
      .filter((piece) => piece.kind === kind)
      .flatMap((piece) => {
        try {
          return [{ piece, read: parse(piece.der) }]
        } catch (error) {
          // asn1js throws plain errors and type errors for bytes that are not what they claim.
          if (!(error instanceof Error) || 'code' in error) throw error
          ledger.refuse(piece, 'unreadable', `it cannot be read (${error.message})`)
          return []
        }
      })
  const lists = read('list', parseList).map(({ piece, read: list }) => ({ piece, list }))
  const responses = read('response', parseResponse).map(({ piece, read: response }) => ({ piece, response }))
  return {
    pieces: [...(store?.pieces ?? []), ...pieces],
    lists: [...(store?.lists ?? []), ...lists],
    responses: [...(store?.responses ?? []), ...responses],
    ledger,
  }
}

/** A piece before it is known where it came from. */
export type CarriedEvidence = Pick<Evidence, 'kind' | 'der'>

export const withSource = (carried: readonly CarriedEvidence[], source: string): Evidence[] =>
  carried.map((one) => ({ ...one, source }))

/** Of a SignedData's `crls`: a choice under a tag is of another format than a list (RFC 5652, 10.2.1; RFC 5940). */
export function evidenceInSignedData(revocations: readonly Uint8Array[]): CarriedEvidence[] {
  return revocations.map((der) => {
    const response = der[0] === otherFormatTag ? responseIn(der) : null
    return response === null ? { kind: 'list', der } : { kind: 'response', der: response }
  })
}

const otherFormatTag = 0xa1
const ocspResponse = '1.3.6.1.5.5.7.16.2'

/** RFC 5940: [1] with the format and the response; null for another format, which nobody can read. */
function responseIn(der: Uint8Array): Uint8Array | null {
  const [format, response, ...beyond] = members(parseBer(der))
  const isAnswer = response !== undefined && beyond.length === 0 && oidOf(format) === ocspResponse
  return isAnswer ? rawOf(response) : null
}

/** Object identifiers of attributes that hold evidence. */
export const evidenceAttributes = {
  /** Unsigned: revocation-values (RFC 5126, 6.3.4). */
  values: '1.2.840.113549.1.9.16.2.24',
  /** Signed: RevocationInfoArchival (ISO 32000-1, 12.8.3.3.2, from memory). */
  archival: '1.2.840.113583.1.1.8',
} as const

/** In the attributes of a signer. Throws where an attribute is malformed. */
export function evidenceInAttributes({ signed, unsigned }: SignerInfo): CarriedEvidence[] {
  const archived = parts(signed.get(evidenceAttributes.archival)?.[0])
  const values = parts(unsigned.get(evidenceAttributes.values)?.[0])
  return [
    ...archived(0).map((der) => ({ kind: 'list' as const, der })),
    ...archived(1).map((der) => ({ kind: 'response' as const, der })),
    ...values(0).map((der) => ({ kind: 'list' as const, der })),
    // BasicOCSPResponse, without the frame that an answer comes in.
    ...values(1).map((der) => ({ kind: 'response' as const, der: frame(der) })),
  ]
}

/** Of a sequence of tagged sequences: what stands under a tag, each as DER. */
function parts(attribute: Parameters<typeof members>[0]): (tag: number) => Uint8Array[] {
  const tagged = attribute === undefined ? [] : members(attribute)
  if (tagged.some(({ idBlock }) => idBlock.tagClass !== 3 || idBlock.tagNumber > 1))
    throw new RangeError('an attribute holds what tells nothing of revocation that is known')
  return (tag) =>
    tagged
      .filter(({ idBlock }) => idBlock.tagClass === 3 && idBlock.tagNumber === tag)
      .flatMap((one) => members(members(one)[0]).map(rawOf))
}

/** OCSPResponse (successful) around a BasicOCSPResponse (RFC 6960, 4.2.1). */
const frame = (basic: Uint8Array): Uint8Array =>
  derOf(sequence(new Enumerated({ value: 0 }), explicit(0, sequence(oid(basicResponse), octets(basic)))))
