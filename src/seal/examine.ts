/** Examines a bag and its seal, part by part. Nothing in the bag is trusted; whom the user trusts is handed in. */
import type { AlgorithmRule } from '../facts/algorithms.ts'
import type { SealExamination, SealPart, SealStamp } from '../facts/seal.ts'
import { type BagExamination, type BagView, examineBag, sealFiles } from './bag/examine.ts'
import { isRenewal } from './bag/view.ts'
import { writeTime } from './certificates/certificate.ts'
import { findPath, type PathAnswer } from './certificates/path.ts'
import { oids } from './cms/structure.ts'
import { type SignatureAnswer, type SignatureHolds, verifySigned } from './cms/verify.ts'
import { examineRevocation, withoutSigner } from './examine-revocation.ts'
import { examineRenewals, type RenewalAnswer } from './renewal.ts'
import { type Evidence, readEvidence } from './revocation/evidence.ts'
import type { TrustList } from './signer.ts'
import { unwrapToken } from './stamp/exchange.ts'
import { type StampAnswer, type StampRevocation, verifyStamp } from './stamp/token.ts'

export interface SealQuestion {
  trust: TrustList
  /** What algorithms may be relied on: those of a rulebook. */
  policy: readonly AlgorithmRule[]
  /** When it is examined. */
  at: Date
  /** Revocation lists and answers of authorities that the user has. */
  evidence?: readonly Evidence[]
  /** What they say must reach to here, where no stamp vouches for an earlier time; `at` itself when left out. */
  freshAt?: Date
}

export interface ExaminedBag {
  examination: SealExamination
  /** Tags of bag-info.txt. */
  info: ReadonlyMap<string, string>
  /** The name that each payload file was received by, by path in the bag. */
  names: ReadonlyMap<string, string>
}

const manifestFile = 'tagmanifest-sha256.txt'

/** Never throws for what a bag holds. */
export function examineSeal(view: BagView, question: SealQuestion): ExaminedBag {
  const signature = view.tagFiles.get(sealFiles.signature)
  const bag = examineBag(view, { sealed: signature !== undefined })
  const { info, names, digests } = bag
  if (signature === undefined) {
    const parts = [bag.structure, bag.files, describeMissingSeal(view)]
    return {
      examination: { form: 'bag', parts, signer: null, claimedTime: null, stamps: [], revocations: [], digests },
      info,
      names,
    }
  }
  return { examination: examineSigned(view, bag, signature, question), info, names }
}

/** The seal itself, or what stands in its place: a folder, a link, the name in another case. */
const isSealName = (path: string): boolean => path.split('/')[0]?.toLowerCase() === sealFiles.signature

/** A seal that was taken away leaves a bag that agrees with itself: what is not signed is never a pass. */
function describeMissingSeal(view: BagView): SealPart {
  const part = { part: 'signature', faults: [] } as const
  const untaken = [...view.problems, ...view.entries].find(({ path }) => isSealName(path))
  if (untaken !== undefined) {
    const why = 'message' in untaken ? untaken.message : `${untaken.path} is not ${sealFiles.signature}`
    const text = `There is a ${sealFiles.signature} that could not be taken: ${why}`
    return { ...part, state: 'broken', code: 'unusable', text, file: untaken.path }
  }
  const left = view.entries.find(({ path }) => path === sealFiles.stamp || isRenewal(path))
  if (left !== undefined) {
    const text = `${left.path} is there without the ${sealFiles.signature} that it goes with`
    return { ...part, state: 'broken', code: 'removed', text, file: left.path }
  }
  const text = `The bag is not sealed: it has no ${sealFiles.signature}, and anybody could have made its lists anew`
  return { ...part, state: 'absent', code: 'not-sealed', text, file: null }
}

function examineSigned(
  view: BagView,
  bag: BagExamination,
  signature: Uint8Array,
  question: SealQuestion,
): SealExamination {
  const store = readEvidence(question.evidence ?? [])
  const revocation = { evidence: store, examined: question.at }
  const renewals = examineRenewals(view, { ...question, revocation })
  const stamp = examineStamp(view, signature, { ...question, revocation }, renewals)
  // The proof that it existed then carries over what has aged since.
  const trustedTime = stamp !== null && stamp.state === 'holds' ? stamp.time : question.at
  const answer = verifySigned({
    der: signature,
    content: view.tagFiles.get(manifestFile) ?? new Uint8Array(),
    contentType: oids.data,
    bound: true,
    carriedBound: true,
    ownForm: true,
    unsigned: [],
    policy: question.policy,
    day: writeTime(trustedTime).slice(0, 10),
  })
  const stamps = [stamp?.stamp ?? null, ...renewals.stamps].filter((one): one is SealStamp => one !== null)
  const path = answer.holds ? findSignerPath(answer, question, trustedTime) : null
  const answers = [...(stamp === null ? [] : [stamp]), ...renewals.answers]
  const revoked =
    answer.holds && path !== null
      ? examineRevocation(
          { signature: answer, path, at: trustedTime, isProved: stamp?.state === 'holds', stamps: answers, store },
          question,
        )
      : withoutSigner
  return {
    form: 'sealed',
    parts: [
      bag.structure,
      bag.files,
      describeSignature(view, answer),
      describeSigner(answer, path, stamp),
      revoked.part,
      describeStamp(answer, stamp),
      ...(renewals.part === null ? [] : [renewals.part]),
    ],
    signer: answer.signer?.facts ?? null,
    claimedTime: answer.holds && answer.claimedTime !== null ? writeTime(answer.claimedTime) : null,
    stamps,
    revocations: revoked.revocations,
    digests: bag.digests,
  }
}

function examineStamp(
  view: BagView,
  signature: Uint8Array,
  { trust, policy, at, revocation }: SealQuestion & { revocation: StampRevocation },
  renewals: RenewalAnswer,
): StampAnswer | null {
  const response = view.tagFiles.get(sealFiles.stamp)
  if (response === undefined) return null
  const file = sealFiles.stamp
  try {
    const token = unwrapToken(response)
    return verifyStamp({ token, file, stamped: signature, trust, policy, at: renewals.coveredAt ?? at, revocation })
  } catch (error) {
    const text = `The time stamp cannot be read: ${(error as Error).message}`
    return { state: 'broken', code: 'malformed', text, stamp: null, time: null }
  }
}

function describeSignature(view: BagView, answer: SignatureAnswer): SealPart {
  const part = { part: 'signature', file: sealFiles.signature, faults: [] } as const
  if (!view.tagFiles.has(manifestFile))
    return {
      ...part,
      state: 'broken',
      code: 'no-manifest',
      text: `${manifestFile}, which the signature is over, is missing`,
    }
  if (!answer.holds) return { ...part, state: 'broken', code: answer.code, text: answer.text }
  const text = `The signature covers ${manifestFile}, which lists everything else`
  return { ...part, state: 'holds', code: 'covers', text }
}

function findSignerPath({ signer, carried }: SignatureHolds, { trust, policy }: SealQuestion, at: Date): PathAnswer {
  return findPath({ leaf: signer, carried, trust, at, purpose: 'document', policy })
}

function describeSigner(answer: SignatureAnswer, path: PathAnswer | null, stamp: StampAnswer | null): SealPart {
  const part = { part: 'signer', file: sealFiles.signature, faults: [] } as const
  if (!answer.holds || path === null)
    return {
      ...part,
      state: 'unexamined',
      code: 'no-signature',
      text: 'Without a signature that holds, nobody is known to have signed',
    }
  const { state, code, text } = path
  if (state !== 'holds') return { ...part, state, code, text }
  const misdated = findMisdating(answer, stamp)
  return misdated === null
    ? { ...part, state, code, text }
    : { ...part, state: 'doubtful', code: 'misdated', text: misdated }
}

/** Clocks of signers are seldom right to the second. */
const dayMilliseconds = 86_400_000

function findMisdating({ claimedTime }: SignatureHolds, stamp: StampAnswer | null): string | null {
  if (claimedTime === null || stamp === null || stamp.time === null) return null
  if (claimedTime.getTime() <= stamp.time.getTime() + dayMilliseconds) return null
  return `The signer claims to have signed on ${writeTime(claimedTime)}, after the time stamp of ${writeTime(stamp.time)}`
}

function describeStamp(answer: SignatureAnswer, stamp: StampAnswer | null): SealPart {
  const part = { part: 'stamp', file: sealFiles.stamp, faults: [] } as const
  if (stamp === null)
    return {
      ...part,
      file: null,
      state: 'absent',
      code: 'none',
      text: 'No authority vouches for the time; it is the word of the signer alone',
    }
  if (!answer.holds && stamp.state === 'holds')
    return {
      ...part,
      state: 'unexamined',
      code: 'no-signature',
      text: 'The time stamp is over a signature that does not hold',
    }
  return { ...part, state: stamp.state, code: stamp.code, text: stamp.text }
}
