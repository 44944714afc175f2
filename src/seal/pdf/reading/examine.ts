/** Examines the signatures of a PDF: does each hold, over how much of the file, by whom, and what came after. */
import { type AlgorithmRule, algorithmNames } from '../../../facts/algorithms.ts'
import { readPdfDate } from '../../../facts/pdf-date.ts'
import type { PdfSignature } from '../../../facts/pdf-signature.ts'
import { parseCertificate, writeTime } from '../../certificates/certificate.ts'
import { findPath } from '../../certificates/path.ts'
import { type Evidence, type EvidenceStore, readEvidence } from '../../revocation/evidence.ts'
import { type CertificateAnswer, concludeRevocation, judgeRevocation } from '../../revocation/judge.ts'
import type { TrustList } from '../../signer.ts'
import { type StampAnswer, verifyStamp } from '../../stamp/token.ts'
import { compareEnds, type LocatedChange } from './changes.ts'
import { type PdfCmsAnswer, type PdfCmsQuestion, verifyPdfCms } from './cms.ts'
import { evidenceInFile, evidenceInSignature } from './evidence.ts'
import { nameIn, openPdf, type PdfFile, textOf } from './file.ts'
import {
  type Coverage,
  contentsOf,
  type FoundSignature,
  findLocks,
  findSignatures,
  findTraceOfSignature,
  kindOf,
  measureCoverage,
  mostSignatures,
  permissionOf,
} from './signatures.ts'
import { SyntaxFault } from './syntax.ts'

export interface PdfExamining {
  trust: TrustList
  policy: readonly AlgorithmRule[]
  /** The time of the examination. */
  at: Date
  /** Name of the file, for what is said of stamps. */
  file: string
  /** What the reviewer has on revocation, beside what lies in the file. */
  evidence?: readonly Evidence[]
  /** What it says must reach to here, where no stamp vouches for an earlier time; `at` itself when left out. */
  freshAt?: Date
}

/** For where no rulebook is at hand that says which algorithms may be relied on. */
export const anyAlgorithm: readonly AlgorithmRule[] = algorithmNames.map((name) => ({ name, basis: 'Not judged.' }))

export interface ExaminedSignature {
  /** Its `changes` are empty: they come from `changes`, with the words of both readings. */
  signature: PdfSignature
  /** Where the part ends that it covers, when more follows; null else. */
  end: number | null
  changes: readonly LocatedChange[]
}

/** In the order of the form. Never throws for what the bytes are. */
export function examinePdfSignatures(bytes: Uint8Array, examining: PdfExamining): ExaminedSignature[] {
  try {
    const file = openPdf(bytes)
    const found = findSignatures(file)
    const examined = found.slice(0, mostSignatures).map((one) => examine(file, one, examining))
    if (found.length > mostSignatures) examined.push(tooMany(found.length))
    if (found.length > 0) return examined
    if (file.damage !== null && mentionsSignature(bytes)) return [unfollowed(file.damage)]
    const trace = findTraceOfSignature(file)
    return trace === null ? [] : [stripped(trace)]
  } catch (error) {
    if (!(error instanceof SyntaxFault)) throw error
    return mentionsSignature(bytes) ? [unfollowed(error.message)] : []
  }
}

const mentionsSignature = (bytes: Uint8Array): boolean =>
  Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).includes('/ByteRange')

const blank: PdfSignature = {
  field: null,
  kind: 'approval',
  format: null,
  state: 'doubtful',
  code: 'unexamined',
  text: '',
  signer: null,
  trust: null,
  revocation: null,
  claimedTime: null,
  stamp: null,
  permits: null,
  covers: 'unknown',
  coveredBytes: null,
  changes: [],
}

const alone = (code: string, text: string): ExaminedSignature => ({
  signature: { ...blank, code, text },
  end: null,
  changes: [],
})

const tooMany = (count: number): ExaminedSignature =>
  alone('too-many', `The file holds ${count} signatures; only the first ${mostSignatures} were examined`)

const stripped = (trace: string): ExaminedSignature =>
  alone('stripped', `The file holds no signature, and ${trace}: a signature may have been taken out`)

const unfollowed = (why: string): ExaminedSignature =>
  alone('structure', `The file was signed, and how it is built cannot be followed (${why})`)

function examine(file: PdfFile, found: FoundSignature, examining: PdfExamining): ExaminedSignature {
  const { dictionary, field } = found
  const coverage = measureCoverage(file.bytes, dictionary)
  const told = textOf(dictionary.entries.get('M'))
  const signature: PdfSignature = {
    ...blank,
    field,
    kind: kindOf(file, dictionary),
    format: nameIn(dictionary, 'SubFilter'),
    claimedTime: (told === null ? undefined : readPdfDate(told)) ?? null,
    permits: permissionOf(file, dictionary),
  }
  if (!coverage.sound)
    return {
      signature: { ...signature, state: 'broken', code: coverage.code, text: coverage.text },
      end: null,
      changes: [],
    }
  const judged = { ...signature, ...judge(file, signature, coverage, examining), coveredBytes: coverage.end }
  if (file.damage !== null)
    return {
      signature: doubt(judged, 'structure', `How the file is built cannot be followed (${file.damage})`),
      end: null,
      changes: [],
    }
  if (coverage.end === file.bytes.length && field !== null)
    return { signature: { ...judged, covers: 'whole' }, end: null, changes: [] }
  return examineRevision(file, found, judged, coverage.end)
}

/** What does not hold stays so; what seems to is doubtful after all. */
const doubt = (signature: PdfSignature, code: string, text: string): PdfSignature =>
  signature.state === 'holds' ? { ...signature, state: 'doubtful', code, text } : signature

/** A signature that does not end with the file must end with a revision of it that holds the signature. */
function examineRevision(
  file: PdfFile,
  found: FoundSignature,
  signature: PdfSignature,
  end: number,
): ExaminedSignature {
  const before = openRevision(file.bytes.subarray(0, end))
  const start = contentsOf(found.dictionary)?.start
  const held = before === null ? [] : findSignatures(before).filter(({ field }) => field !== null)
  if (before === null || !held.some(({ dictionary }) => contentsOf(dictionary)?.start === start)) {
    const text = 'What it covers is no file that holds it: the file was never signed like this'
    const state = signature.state === 'holds' ? { state: 'broken' as const, code: 'range-no-revision', text } : {}
    return { signature: { ...signature, ...state }, end: null, changes: [] }
  }
  const permits = permitted(before, held)
  const locks = held.map(({ dictionary }) => findLocks(before, dictionary))
  const changes = compareEnds({ before, after: file }, permits, (name) => locks.some((isLocked) => isLocked(name)))
  const covers = { ...signature, covers: 'revision' as const }
  const answer =
    found.field === null
      ? doubt(covers, 'removed', 'The signature is still in the file, and no field of its form holds it any more')
      : covers
  return { signature: answer, end, changes }
}

/** The author's rule binds whoever comes later, so long as the author signed within this revision. */
function permitted(before: PdfFile, held: readonly FoundSignature[]): PdfSignature['permits'] {
  for (const { dictionary } of held) {
    const permits = permissionOf(before, dictionary)
    if (permits !== null) return permits
  }
  return null
}

function openRevision(bytes: Uint8Array): PdfFile | null {
  try {
    const file = openPdf(bytes)
    return file.damage === null ? file : null
  } catch (error) {
    if (error instanceof SyntaxFault) return null
    throw error
  }
}

type Judgement = Pick<
  PdfSignature,
  'state' | 'code' | 'text' | 'signer' | 'trust' | 'revocation' | 'stamp' | 'claimedTime'
>

const cmsFormats: ReadonlySet<string> = new Set(['adbe.pkcs7.detached', 'ETSI.CAdES.detached', 'adbe.pkcs7.sha1'])

function judge(
  file: PdfFile,
  signature: PdfSignature,
  coverage: Coverage & { sound: true },
  examining: PdfExamining,
): Judgement {
  const { format, claimedTime } = signature
  if (signature.kind === 'time-stamp') return judgeStamp(file, coverage, examining, claimedTime)
  if (format === null || !cmsFormats.has(format))
    return {
      ...blank,
      claimedTime,
      code: 'not-judged',
      text: `The signature is of a kind that is not examined (${format ?? 'it names none'})`,
    }
  const { policy, at } = examining
  const question = { der: coverage.signature, signed: coverage.signed, policy, day: dayOf(at) }
  const evidence = gather(coverage.signature, file, examining)
  const first = verifyPdfCms({ ...question, format: format as PdfCmsQuestion['format'] })
  const stamp =
    first.tokens[0] === undefined
      ? null
      : verifyStamp({ token: first.tokens[0], stamped: first.signature, ...common(examining, evidence) })
  const proved = stamp?.state === 'holds' ? stamp.time : null
  // A trusted stamp shows that it was made while its algorithms could still be relied on.
  const answer =
    proved !== null && first.code.startsWith('algorithm-')
      ? verifyPdfCms({ ...question, day: dayOf(proved), format: format as PdfCmsQuestion['format'] })
      : first
  const { state, code, text, signer } = answer
  const faulty = stamp?.state === 'broken' && stampFaults.has(stamp.code)
  return {
    ...(faulty && state === 'holds'
      ? { state: 'doubtful', code: 'stamp-broken', text: stamp.text }
      : { state, code, text }),
    signer: signer?.facts ?? null,
    ...judgeSigner(answer, proved, evidence, examining),
    stamp: stamp?.stamp ?? null,
    claimedTime: claimedTime ?? (answer.claimedTime === null ? null : writeTime(answer.claimedTime)),
  }
}

const dayOf = (at: Date): string => writeTime(at).slice(0, 10)

const common = ({ trust, policy, at, file }: PdfExamining, evidence: EvidenceStore) => ({
  ...{ trust, policy, at, file },
  revocation: { evidence, examined: at },
})

/** Answers that say that a stamp is over something else, or nobody's; the others say that it is not to be relied on. */
const stampFaults: ReadonlySet<string> = new Set([
  'imprint-differs',
  'signature-mismatch',
  'digest-mismatch',
  'bound-to-another',
])

function judgeStamp(
  file: PdfFile,
  { signature, signed }: Coverage & { sound: true },
  examining: PdfExamining,
  claimedTime: string | null,
): Judgement {
  const beside = readEvidence([...(examining.evidence ?? []), ...evidenceInFile(file, examining.file)])
  const answer: StampAnswer = verifyStamp({ token: signature, stamped: signed(), ...common(examining, beside) })
  const { code, text, stamp } = answer
  const state = answer.state === 'broken' ? (stampFaults.has(code) ? 'broken' : 'doubtful') : 'holds'
  const trust = { state: answer.state === 'broken' ? ('doubtful' as const) : answer.state, code, text }
  const signer = stamp?.authority ?? null
  return { state, code, text, signer, trust, revocation: null, stamp, claimedTime: stamp?.time ?? claimedTime }
}

/** What lies in the signature and in the file, and what the reviewer has. */
function gather(signature: Uint8Array, file: PdfFile, { file: name, evidence = [] }: PdfExamining): EvidenceStore {
  return readEvidence([...evidence, ...evidenceInSignature(signature, name), ...evidenceInFile(file, name)])
}

function judgeSigner(
  { signer, carried, state }: PdfCmsAnswer,
  proved: Date | null,
  evidence: EvidenceStore,
  { trust, policy, at: examined, freshAt = examined }: PdfExamining,
): Pick<PdfSignature, 'trust' | 'revocation'> {
  if (signer === null || state === 'broken') return { trust: null, revocation: null }
  const at = proved ?? examined
  const known = [...carried, ...trust.certificates.map(parseCertificate)]
  const isAsked = trust.certificates.length + trust.fingerprints.length > 0
  const path = isAsked ? findPath({ leaf: signer, carried, trust, at, purpose: 'document', policy }) : null
  const times = { at, isProved: proved !== null, freshAt, examined }
  const question = { signer, path: path?.path ?? null, known, evidence, policy, ...times }
  const revocation = sumUp(judgeRevocation(question), evidence)
  if (path === null)
    return { trust: { state: 'unexamined', code: 'no-trust-list', text: 'Nobody has said whom to trust' }, revocation }
  return { trust: { state: path.state, code: path.code, text: path.text }, revocation }
}

/** The worst answer on the signer and on those who vouch for the signer, with what could not be used. */
function sumUp(answers: readonly CertificateAnswer[], evidence: EvidenceStore): PdfSignature['revocation'] {
  const own = answers[0]?.code === 'own-issuer'
  if (evidence.pieces.length === 0 && !own)
    return {
      state: 'doubtful',
      code: 'no-answer',
      text: 'Neither the file nor the reviewer has an answer on whether the certificate was revoked',
    }
  const { state, code, text } = concludeRevocation(answers)
  const unused = evidence.ledger.unused(evidence.pieces).map((one) => one.text)
  return { state, code, text: [text, ...unused].join('. ') }
}
