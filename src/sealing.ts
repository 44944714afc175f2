/** From a reviewed packet to a sealed bag, and from a bag to what its seal is worth. */
import type { AlgorithmRule } from './facts/algorithms.ts'
import type { SealExamination } from './facts/seal.ts'
import type { BagContents, IntakePacket } from './intake/evidence.ts'
import { defaultIntakeLimits } from './intake/limits.ts'
import { openPacket } from './intake/open.ts'
import type { Storage } from './intake/storage.ts'
import { sealFiles } from './seal/bag/examine.ts'
import { isRenewal } from './seal/bag/view.ts'
import { type BagSink, type BagSource, type FilledBag, finishBag, openPayload } from './seal/bag/write.ts'
import { examineSeal } from './seal/examine.ts'
import { nextRenewal, renewalFiles, writeRenewalManifest } from './seal/renewal.ts'
import type { Evidence } from './seal/revocation/evidence.ts'
import { SealError } from './seal/seal-error.ts'
import type { TrustList } from './seal/signer.ts'
import { wrapToken } from './seal/stamp/exchange.ts'
import type { StatementFile } from './seal/statement.ts'

/** Only hashed, not read: a bag may be larger than a packet that is reviewed. */
export const bagLimits = {
  entries: 200_000,
  fileBytes: 64 * 1024 ** 3,
  totalBytes: 256 * 1024 ** 3,
  // Two lists of as many lines by SHA-512 fit into what is held in memory.
  tagFileBytes: 64 * 1024 ** 2,
  // What is verified is what was sealed, be its packet.yaml of any use or none.
  declarationBytes: null,
  // A bag puts a folder or two above what a packet may hold.
  depth: defaultIntakeLimits.depth + 2,
  pathBytes: defaultIntakeLimits.pathBytes * 2,
}

/** A packet whose files are in a bag already, which is to be finished. */
export interface ReceivedPacket {
  /** To be reviewed: what is read of it is proved against what was put into the bag. */
  intake: IntakePacket
  /** Adds what was found, and seals. */
  finish(options: Omit<BagSource, 'packet' | 'digest'>): Promise<FilledBag>
}

/**
 * Opens the packet at `path` and puts its files into a bag in the same pass. Rejects with IntakeError where it cannot be
 * opened, and with SealError where it is a bag already, or holds what could not be taken: nothing may be left out of a
 * sealed packet unseen.
 */
export async function receivePacket(path: string, storage: Storage, sink: BagSink): Promise<ReceivedPacket> {
  const payload = openPayload(sink)
  const intake = await openPacket(
    storage,
    path,
    {},
    {
      begin({ isBag, paths, problems }) {
        if (isBag) throw isABag(path)
        refuseProblems(problems)
        payload.announce(paths)
      },
      copy: payload.take,
    },
  )
  refuseProblems(intake.problems)
  const { name, digest } = intake
  return { intake, finish: (options) => finishBag(sink, payload, { packet: name, digest, ...options }) }
}

const isABag = (path: string): SealError =>
  new SealError(
    'is-a-bag',
    path,
    `${path} is a bag already`,
    'Verify it, or stamp it; a packet is sealed as it was received.',
  )

function refuseProblems([problem, ...others]: IntakePacket['problems']): void {
  if (problem === undefined) return
  const further = others.length === 0 ? '' : `, and ${others.length} more`
  throw new SealError(
    'incomplete',
    problem.path,
    `${problem.message}${further}: a sealed packet would lack it`,
    `${problem.mend} Or take it out of the packet.`,
  )
}

export interface Verification {
  /** Name of the bag. */
  name: string
  /** `sha256:…` of the packet in it, under the names that its files were received by. */
  digest: string
  /** When it was examined. */
  at: Date
  examination: SealExamination
  /** Tags of bag-info.txt. */
  info: ReadonlyMap<string, string>
  files: readonly StatementFile[]
  /** SHA-256 of tagmanifest-sha256.txt; null where there is none. */
  manifestDigest: string | null
}

export interface VerificationOptions {
  trust: TrustList
  /** Revocation lists and answers of authorities, beside those in the seal. */
  evidence?: readonly Evidence[]
  algorithms: readonly AlgorithmRule[]
  at: Date
}

/** Opens a bag and examines its seal. Rejects with IntakeError where it cannot be opened, SealError `no-bag` where it is none. */
export async function verifyBag(path: string, storage: Storage, options: VerificationOptions): Promise<Verification> {
  const { intake, bag } = await openBag(path, storage)
  const { trust, algorithms: policy, at, evidence = [] } = options
  const { examination, info, names } = examineSeal(bag, { trust, policy, at, evidence })
  const digestsOf = new Map(bag.entries.map(({ path: own, digests }) => [own, digests]))
  const files = bag.entries
    .filter(({ path: own }) => own.startsWith('data/'))
    .map(({ path: own, bytes, digests }) => ({
      path: own,
      original: names.get(own) ?? own.slice('data/'.length),
      bytes,
      sha256: digests['sha-256'] ?? '',
      sha512: digests['sha-512'] ?? '',
    }))
  const manifestDigest = digestsOf.get('tagmanifest-sha256.txt')?.['sha-256'] ?? null
  return { name: intake.name, digest: intake.digest, at, examination, info, files, manifestDigest }
}

async function openBag(path: string, storage: Storage) {
  const intake = await openPacket(storage, path, bagLimits)
  if (intake.bag === null)
    throw new SealError(
      'no-bag',
      path,
      `${path} is no bag: it has no bagit.txt`,
      'Name a sealed packet, as "witnessmark seal" writes it: a folder or a .zip.',
    )
  return { intake, bag: intake.bag }
}

export interface StampingPlan {
  form: IntakePacket['form']
  /** What the bag holds already. */
  held: BagContents['entries']
  /** What is to be added. */
  files: { path: string; content: Uint8Array }[]
}

/** Parts that say whose seal it is: a stamp proves the time of any. */
const ofSigner: ReadonlySet<string> = new Set(['signer', 'revocation'])

export type StampBytes = (bytes: Uint8Array) => Promise<Uint8Array>

/**
 * What a stamp adds to a sealed bag: `seal.tsr` where there is no stamp at all, else a renewal over everything so far. Rejects with
 * SealError where the bag is not sealed, is broken, or has a stamp already and `renew` is not asked for; with what `stamp`
 * rejects with.
 */
export async function planStamp(
  path: string,
  storage: Storage,
  stamp: StampBytes,
  options: VerificationOptions & { renew: boolean },
): Promise<StampingPlan> {
  const { bag, intake } = await openBag(path, storage)
  const { trust, algorithms: policy, at, renew, evidence = [] } = options
  const { examination } = examineSeal(bag, { trust, policy, at, evidence })
  const broken = examination.parts.filter(({ part, state }) => state === 'broken' && !ofSigner.has(part))
  const [fault] = broken
  if (fault !== undefined)
    throw new SealError(
      'broken',
      path,
      `${path} is not what was sealed: ${fault.text}`,
      'A stamp on it would prove nothing. Find a copy that verifies.',
    )
  const seal = bag.tagFiles.get(sealFiles.signature)
  if (seal === undefined)
    throw new SealError(
      'not-sealed',
      path,
      `${path} is a bag without a seal`,
      'Seal the packet first: witnessmark seal PACKET.',
    )
  const plan = { form: intake.form, held: bag.entries }
  // The first stamp is the seal's own. Beneath a renewal it would come too late: a renewal lists all that was there.
  const isRenewed = bag.entries.some(({ path: own }) => isRenewal(own))
  if (!bag.tagFiles.has(sealFiles.stamp) && !isRenewed)
    return { ...plan, files: [{ path: sealFiles.stamp, content: wrapToken(await stamp(seal)) }] }
  if (!renew)
    throw new SealError('stamped', path, `${path} has a time stamp already`, 'To carry the proof on, add --renew.')
  const names = renewalFiles(nextRenewal(bag.entries.map(({ path: own }) => own)))
  const content = new TextEncoder().encode(writeRenewalManifest(bag.entries))
  const token = { path: names.stamp, content: wrapToken(await stamp(content)) }
  return { ...plan, files: [{ path: names.manifest, content }, token] }
}
