/**
 * Destroying packets: what is not held and is due by its schedule, when two people who may ask for it have signed. The
 * first proposes; the second agrees, and it is done. What stays is a tombstone in the log: the number, the digests, who and why.
 *
 * Each signs the same words (canonical JSON, RFC 8785; a detached CMS signature, RFC 5652) with a certificate that the
 * archive knows as a custodian's.
 */
import { createHash } from 'node:crypto'
import canonicalize from 'canonicalize'
import type { AlgorithmRule } from '../facts/algorithms.ts'
import { findRetention, type RetentionRule } from '../facts/retention.ts'
import { parseCertificate } from '../seal/certificates/certificate.ts'
import { signDetached } from '../seal/cms/sign.ts'
import { verifySigned } from '../seal/cms/verify.ts'
import type { Signer } from '../seal/signer.ts'
import { type Actor, type Archive, act, findEntry, putObject, readObject } from './archive.ts'
import { ArchiveError } from './archive-error.ts'
import type { Disposed, Person } from './entry.ts'
import { holdToKnown, listHolds, noSuch } from './holds.ts'
import { findOwnObjects, type Writing } from './register/project.ts'

/** Lets the person of a certificate propose and agree to disposals. Throws TypeError for what is no certificate. */
export async function nameCustodian(archive: Archive, actor: Actor, certificate: Uint8Array): Promise<Person> {
  const { subject } = describe(certificate)
  const name = await putObject(archive.outside.storage, certificate)
  return act(archive, actor, async () => ({
    entries: [{ act: 'custodian-named', certificate: name, name: subject }],
    result: { name: subject, certificate: name },
  }))
}

const describe = (der: Uint8Array) => ({ subject: parseCertificate(der).facts.subject })

const fingerprint = (der: Uint8Array): string => createHash('sha256').update(der).digest('hex')

export interface Proposal {
  /** Index of its entry, by which it is agreed to. */
  proposal: number
  accessions: readonly string[]
}

/** What is due is decided by these, on the day of whoever agrees. */
export interface DisposalRules {
  retention: readonly RetentionRule[]
  /** What signatures may rest on. */
  algorithms: readonly AlgorithmRule[]
}

/** Who signs, why, and by what authority. */
export interface DisposalActor {
  signer: Signer
  why: string
  authority: string
}

/** The words that both sign. */
const wordsOf = (origin: string, accessions: readonly string[], why: string, authority: string): Uint8Array =>
  new Uint8Array(Buffer.from(canonicalize({ disposal: 1, archive: origin, accessions, why, authority }) ?? '', 'utf8'))

/** The first of two: asks for packets to be destroyed. Throws ArchiveError `held`, `not-due`, `not-approved` or `unknown`. */
export async function proposeDisposal(
  archive: Archive,
  { signer, why, authority }: DisposalActor,
  accessions: readonly string[],
  rules: DisposalRules,
): Promise<Proposal> {
  const sorted = [...new Set(accessions)].sort()
  const { signature, by } = await sign(archive, signer, wordsOf(archive.key.name, sorted, why, authority))
  return act(archive, { by, why, authority }, async (writing, at) => {
    await holdToCustodian(writing, by)
    await holdToKnown(writing, sorted)
    for (const accession of sorted) await holdToDisposable(writing, accession, at, rules)
    const { size } = await writing.selectFrom('state').select('size').executeTakeFirstOrThrow()
    return {
      entries: [{ act: 'disposal-proposed', accessions: sorted, signature }],
      result: { proposal: size, accessions: sorted },
    }
  })
}

async function sign(archive: Archive, signer: Signer, words: Uint8Array): Promise<{ signature: string; by: Person }> {
  const der = await signDetached(words, signer, { time: archive.outside.now() })
  const by = { name: describe(signer.certificate).subject, certificate: fingerprint(signer.certificate) }
  return { signature: await putObject(archive.outside.storage, der), by }
}

async function holdToCustodian(writing: Writing, { name, certificate }: Person): Promise<void> {
  const found = await writing
    .selectFrom('custodians')
    .select('idx')
    .where('certificate', '=', certificate ?? '')
    .executeTakeFirst()
  if (found === undefined)
    throw new ArchiveError(
      'not-approved',
      `${name} is no custodian of this archive`,
      'Let a certificate of theirs be named with "witnessmark archive custodian".',
    )
}

async function holdToDisposable(
  writing: Writing,
  accession: string,
  at: string,
  { retention }: DisposalRules,
): Promise<{ name: string; digest: string; manifest: string; schedule: string }> {
  const packet = await writing
    .selectFrom('packets')
    .select(['name', 'digest', 'manifest', 'received_at', 'disposed_idx'])
    .where('accession', '=', accession)
    .executeTakeFirst()
  if (packet === undefined) throw noSuch(accession)
  if (packet.disposed_idx !== null)
    throw new ArchiveError('unknown', `${accession} was destroyed already`, 'Leave it out.')
  const [hold] = await listHolds({ db: writing }, accession)
  if (hold !== undefined)
    throw new ArchiveError(
      'held',
      `${accession} is held: ${hold.hold}, ${hold.matter}`,
      'It can be destroyed when every hold on it was released.',
    )
  const last = await writing
    .selectFrom('reports')
    .select('verdict')
    .where('accession', '=', accession)
    .orderBy('idx', 'desc')
    .limit(1)
    .executeTakeFirst()
  const verdict = (last?.verdict ?? null) as 'pass' | 'warn' | 'fail' | null
  const due = findRetention(retention, packet.received_at.slice(0, 10), verdict)
  if (due === null || at.slice(0, 10) < due.due)
    throw new ArchiveError(
      'not-due',
      due === null
        ? `No rule says how long ${accession} is kept`
        : `${accession} is kept until ${due.due}, by the rule "${due.rule.name}"`,
      'Wait until then, or use a rulebook whose retention says otherwise.',
    )
  const schedule = `${due.rule.name}: ${due.rule.keepYears} years from receipt`
  return { name: packet.name, digest: packet.digest, manifest: packet.manifest, schedule }
}

/**
 * The second of two: agrees to a proposal, and its packets are destroyed. Contents that another packet has too are kept.
 * Throws ArchiveError `same-person`, `not-approved`, `held`, `not-due` or `unknown`; nothing is destroyed then.
 */
export async function agreeToDisposal(
  archive: Archive,
  signer: Signer,
  proposal: number,
  rules: DisposalRules,
): Promise<{ accessions: readonly string[]; destroyed: number }> {
  const proposed = await readProposal(archive, proposal)
  const { why, authority, accessions } = proposed
  const words = wordsOf(archive.key.name, accessions, why, authority)
  const { signature, by } = await sign(archive, signer, words)
  return act(archive, { by, why, authority }, async (writing, now) => {
    await holdToCustodian(writing, by)
    await holdToOther(archive, by, proposed, words, { rules, day: now.slice(0, 10) })
    const entries: Omit<Disposed, 'entry' | 'at' | 'by'>[] = []
    const gone: string[] = []
    for (const [at, accession] of accessions.entries()) {
      const { name, digest, manifest, schedule } = await holdToDisposable(writing, accession, now, rules)
      const own = await findOwnObjects(writing, accession, accessions.slice(0, at))
      const digests = own.map(({ sha256 }) => sha256)
      gone.push(...digests)
      entries.push({
        act: 'disposed',
        accession,
        proposal,
        signature,
        packet: { name, digest },
        manifest,
        destroyed: digests.length,
        destroyedDigest: digestLines(digests),
        schedule,
      })
    }
    const destroyed = [...new Set(gone)]
    return {
      entries,
      result: { accessions, destroyed: destroyed.length },
      // What dies before this leaves contents that nothing names, which "archive repair-plan" finds.
      after: async () => {
        for (const sha256 of destroyed) await archive.outside.storage.objects.remove(sha256)
      },
    }
  })
}

/** SHA-256 over a line for each digest. */
const digestLines = (digests: readonly string[]): string =>
  createHash('sha256')
    .update(digests.map((digest) => `${digest}\n`).join(''))
    .digest('hex')

interface ProposedDisposal {
  by: Person
  why: string
  authority: string
  accessions: readonly string[]
  signature: string
}

async function readProposal(archive: Archive, index: number): Promise<ProposedDisposal> {
  const found = await findEntry(archive, index)
  if (found?.act !== 'disposal-proposed')
    throw new ArchiveError(
      'unknown',
      `Entry ${index} of the log proposes no disposal`,
      'See "witnessmark custody log".',
    )
  const { by, why = '', authority = '', accessions, signature } = found
  return { by, why, authority, accessions, signature }
}

/** The one who proposed signed these words, and is somebody else. */
async function holdToOther(
  { outside }: Archive,
  by: Person,
  proposed: ProposedDisposal,
  words: Uint8Array,
  { rules, day }: { rules: DisposalRules; day: string },
): Promise<void> {
  if (by.certificate === proposed.by.certificate || by.name === proposed.by.name)
    throw new ArchiveError(
      'same-person',
      `${by.name} proposed it, and cannot agree to it`,
      'Let another custodian agree.',
    )
  const der = await readObject(outside.storage, proposed.signature)
  const answer =
    der === null
      ? null
      : verifySigned({
          der,
          content: words,
          contentType: '1.2.840.113549.1.7.1',
          bound: true,
          carriedBound: true,
          unsigned: [],
          policy: rules.algorithms,
          day,
        })
  if (answer === null || !answer.holds || fingerprint(answer.signer.der) !== proposed.by.certificate)
    throw new ArchiveError(
      'not-approved',
      `The signature of ${proposed.by.name} under the proposal does not hold`,
      'Let it be proposed again.',
    )
}
