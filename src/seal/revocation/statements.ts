/** What the evidence says of one certificate, each statement signed by somebody who may (RFC 5280, 6.3.3; RFC 6960). */
import { type Certificate, writeTime } from '../certificates/certificate.ts'
import { sameName } from '../certificates/name.ts'
import { type AuthorityQuestion, findListFault, findResponderFault, type Refusal } from './authority.ts'
import type { Evidence, EvidenceStore } from './evidence.ts'
import type { Revocation, RevocationList } from './list.ts'
import { isAbout } from './response.ts'
import { allReasons, coveredReasons } from './scope.ts'

export interface Statement {
  pieces: readonly Evidence[]
  /** Null: not revoked. */
  revocation: Revocation | null
  from: Date
  /** When the next one is due; null where that is not said. */
  until: Date | null
  /** Bits of `allReasons` that it speaks for. */
  reasons: number
  /** Certificates that expired since then are still spoken of; null where that is not said. */
  keepsExpiredSince: Date | null
  /** For people: what it is. */
  label: string
}

export interface StatementQuestion extends AuthorityQuestion {
  evidence: EvidenceStore
  /** What is of later than this is not believed. */
  examined: Date
}

type Held = EvidenceStore['lists'][number]

/** All statements on the first certificate of the chain; what says nothing is refused in the ledger. */
export function findStatements(question: StatementQuestion): Statement[] {
  const { evidence } = question
  return [
    ...evidence.lists.filter(({ list }) => list.base === null).flatMap((held) => readFromList(held, question)),
    ...evidence.responses.flatMap((held) => readFromResponse(held, question)),
  ]
}

const future = (from: Date): Refusal => ({
  code: 'in-the-future',
  because: `it is of ${writeTime(from)}, which is yet to come`,
})

const unknown = (oids: readonly string[]): Refusal => ({
  code: 'critical-extension',
  because: `it has a critical extension that is not understood: ${oids.join(', ')}`,
})

function readFromList({ piece, list }: Held, question: StatementQuestion): Statement[] {
  const { ledger } = question.evidence
  const [certificate] = question.chain
  const reasons = certificate === undefined ? 0 : coveredReasons(list, certificate)
  if (certificate === undefined || reasons === 0) {
    const isOwn = certificate !== undefined && sameName(list.issuer, certificate.issuerName)
    if (isOwn) ledger.refuse(piece, 'out-of-scope', 'it is about other certificates of its authority')
    else
      ledger.refuse(piece, 'another-authority', `it is by ${list.issuerText}, who vouches for none of the certificates`)
    return []
  }
  const fault = faultOf(list, question)
  if (fault !== null) {
    ledger.refuse(piece, fault.code, fault.because)
    return []
  }
  const changes = findChanges(list, question)
  const own = entryOf(list, certificate)
  const changed = changes === null ? null : entryOf(changes.list, certificate)
  const said = changed ?? own
  const latest = changes?.list ?? list
  return [
    {
      pieces: changes === null ? [piece] : [piece, changes.piece],
      revocation: said?.reason === removeFromList ? null : said,
      from: latest.from,
      until: latest.until,
      reasons,
      keepsExpiredSince: list.keepsExpiredSince,
      label: `revocation list of ${writeTime(latest.from)} in ${(changes?.piece ?? piece).source}`,
    },
  ]
}

/** CRLReason 8: a certificate that was on hold is good again. */
const removeFromList = 8

function faultOf(list: RevocationList, question: StatementQuestion): Refusal | null {
  if (list.unknownCritical.length > 0) return unknown(list.unknownCritical)
  if (list.from > question.examined) return future(list.from)
  return findListFault(list, question)
}

function entryOf({ entries }: RevocationList, { serial, issuerName }: Certificate): Revocation | null {
  const number = Buffer.from(serial).toString('hex')
  return entries.find((entry) => entry.serial === number && sameName(entry.issuer, issuerName)) ?? null
}

/** The newest list of changes (delta) to a list: RFC 5280, 5.2.4 and 6.3.3 (c). */
function findChanges(list: RevocationList, question: StatementQuestion): Held | null {
  const { lists, ledger } = question.evidence
  let newest: Held | null = null
  for (const held of lists) {
    const { base, issuer } = held.list
    if (base === null || !sameName(issuer, list.issuer)) continue
    const fault = findMismatch(held.list, list) ?? faultOf(held.list, question)
    if (fault !== null) ledger.refuse(held.piece, fault.code, fault.because)
    else if (newest === null || (held.list.number ?? 0n) > (newest.list.number ?? 0n)) newest = held
  }
  return newest
}

function findMismatch(changes: RevocationList, list: RevocationList): Refusal | null {
  const because = 'it lists changes to a list that is not at hand'
  const isSame = changes.scope.key === list.scope.key && changes.keyIdentifier === list.keyIdentifier
  const { base, number } = changes
  if (!isSame || base === null || number === null || list.number === null) return { code: 'no-base', because }
  return list.number >= base && list.number < number ? null : { code: 'no-base', because }
}

function readFromResponse(
  { piece, response }: EvidenceStore['responses'][number],
  question: StatementQuestion,
): Statement[] {
  const { ledger } = question.evidence
  const [certificate, issuer] = question.chain
  const refuse = ({ code, because }: Refusal): Statement[] => {
    ledger.refuse(piece, code, because)
    return []
  }
  const answer =
    certificate === undefined || issuer === undefined
      ? undefined
      : response.answers.find(({ id }) => isAbout(id, certificate, issuer))
  if (answer === undefined)
    return refuse({
      code: 'another-certificate',
      because: 'it is about none of the certificates that were asked about',
    })
  if (response.unknownCritical.length > 0) return refuse(unknown(response.unknownCritical))
  for (const time of [answer.from, response.producedAt]) if (time > question.examined) return refuse(future(time))
  const fault = findResponderFault(response, question)
  if (fault !== null) return refuse(fault)
  if (answer.status === 'unknown')
    return refuse({ code: 'unknown', because: 'the authority says that it does not know the certificate' })
  const { revocation, from, until, keepsExpiredSince } = answer
  const label = `answer of its authority of ${writeTime(from)} in ${piece.source}`
  return [{ pieces: [piece], revocation, from, until, reasons: allReasons, keepsExpiredSince, label }]
}
