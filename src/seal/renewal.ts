/**
 * Renewal of a seal before its algorithms or certificates age, in the manner of RFC 4998 (evidence record syntax) but in
 * files that `sha512sum` and `openssl ts` verify: `renewal-N/manifest-sha512.txt` lists every file of the bag as it then
 * was, the seal, its stamp and earlier renewals too, and `renewal-N/stamp.tsr` is a time stamp over that manifest. A
 * renewal renews both the stamps (RFC 4998, 5.2, time-stamp renewal) and the digests of all files (hash-tree renewal),
 * because its manifest is computed from the files anew.
 */
import type { AlgorithmRule } from '../facts/algorithms.ts'
import { judgeAlgorithm } from '../facts/algorithms.ts'
import type { SealFault, SealPart, SealStamp } from '../facts/seal.ts'
import type { BagView } from './bag/examine.ts'
import { parseManifest, writeManifest } from './bag/manifest.ts'
import { compare } from './bag/names.ts'
import { writeTime } from './certificates/certificate.ts'
import type { TrustList } from './signer.ts'
import { unwrapToken } from './stamp/exchange.ts'
import { type StampAnswer, type StampRevocation, verifyStamp } from './stamp/token.ts'

export interface RenewalAnswer {
  /** Null where the bag has none. */
  part: SealPart | null
  stamps: SealStamp[]
  /** Of each stamp that can be read, in order. */
  answers: readonly StampAnswer[]
  /** The time of the first renewal that holds: what lies below it needs to have been good only then. */
  coveredAt: Date | null
}

const manifestName = { algorithm: 'sha-512', digits: 128, ofTags: true } as const
const manifestOf = (number: number): string => `renewal-${number}/manifest-sha512.txt`
const stampOf = (number: number): string => `renewal-${number}/stamp.tsr`

/** The number that the next renewal of the bag has. */
export const nextRenewal = (paths: Iterable<string>): number => (listRenewals(paths).at(-1) ?? 0) + 1

/** The numbers that folders of renewals have, ascending. They need not be those that they should be. */
const listRenewals = (paths: Iterable<string>): number[] =>
  [...new Set([...paths].map(renewalNumber))].filter((number) => number > 0).toSorted((one, other) => one - other)

/** The manifest of a renewal: every file of the bag, by SHA-512. Throws RangeError where a digest is missing. */
export function writeRenewalManifest(entries: BagView['entries']): string {
  return writeManifest(
    entries.map(({ path, digests }) => {
      const digest = digests['sha-512']
      if (digest === undefined) throw new RangeError(`${path} has no SHA-512 digest`)
      return { path, digest }
    }),
  )
}

export const renewalFiles = (number: number) => ({ manifest: manifestOf(number), stamp: stampOf(number) })

interface Question {
  trust: TrustList
  policy: readonly AlgorithmRule[]
  at: Date
  revocation?: StampRevocation
}

/** Each renewal from the last to the first, because the later ones vouch for the time at which the earlier ones had to hold. */
export function examineRenewals(view: BagView, question: Question): RenewalAnswer {
  const numbers = listRenewals(view.entries.map(({ path }) => path))
  const last = numbers.at(-1)
  if (last === undefined) return { part: null, stamps: [], answers: [], coveredAt: null }
  const faults: SealFault[] = []
  const answers: StampAnswer[] = []
  let at = question.at
  for (const number of numbers.toReversed()) {
    const answer = examineOne(view, number, { ...question, at }, faults)
    if (answer === null) continue
    answers.unshift(answer)
    if (answer.state === 'holds') at = answer.time
  }
  // One by one: a bag can hold more files than a call can have arguments.
  for (const fault of [...findGap(numbers), ...findStrays(view, numbers), ...findDisorder(answers)]) faults.push(fault)
  const stamps = answers.flatMap(({ stamp }) => (stamp === null ? [] : [stamp]))
  const part = { part: 'renewal', file: manifestOf(last), faults } as const
  if (faults.length > 0)
    return {
      part: { ...part, state: 'broken', code: 'broken', text: 'A renewal of the seal does not hold' },
      stamps,
      answers,
      coveredAt: null,
    }
  const open = answers.find(({ state }) => state !== 'holds')
  if (open !== undefined)
    return {
      part: {
        ...part,
        state: 'doubtful',
        code: open.code,
        text:
          open.code === 'authority-not-listed'
            ? 'The renewals cover the bag, and nobody on the trust list vouches for an authority of theirs'
            : `The renewals cover the bag, but for this: ${open.text}`,
      },
      stamps,
      answers,
      coveredAt: null,
    }
  const text = `${numbers.length === 1 ? 'A later time stamp carries' : `${numbers.length} later time stamps carry`} the proof on`
  return {
    part: { ...part, state: 'holds', code: 'renewed', text },
    stamps,
    answers,
    coveredAt: answers[0]?.time ?? null,
  }
}

function examineOne(view: BagView, number: number, question: Question, faults: SealFault[]): StampAnswer | null {
  const [manifestFile, stampFile] = [manifestOf(number), stampOf(number)]
  const [manifest, response] = [view.tagFiles.get(manifestFile), view.tagFiles.get(stampFile)]
  const add = (file: string, code: string, text: string) => faults.push({ file, code, text })
  if (manifest === undefined || response === undefined) {
    const file = manifest === undefined ? manifestFile : stampFile
    add(file, 'missing', `${file} is missing`)
    return null
  }
  compareManifest(view, number, new TextDecoder().decode(manifest), question, faults)
  try {
    const answer = verifyStamp({ ...question, token: unwrapToken(response), file: stampFile, stamped: manifest })
    if (answer.state === 'broken') add(stampFile, answer.code, answer.text)
    return answer
  } catch (error) {
    add(stampFile, 'malformed', `${stampFile} cannot be read: ${(error as Error).message}`)
    return null
  }
}

/** The manifest lists all that was there: every file but those of this renewal and of later ones. */
function compareManifest(
  view: BagView,
  number: number,
  text: string,
  { policy, at }: Question,
  faults: SealFault[],
): void {
  const file = manifestOf(number)
  const add = (path: string, code: string, words: string) => faults.push({ file: path, code, text: words })
  const manifest = parseManifest(file, manifestName, text)
  if (!manifest.canonical) add(file, 'rewritten', `${file} is not in the form that it was written in`)
  if (judgeAlgorithm(policy, 'sha-512', writeTime(at).slice(0, 10)).answer !== 'allowed')
    add(file, 'algorithm-weak', `${file} rests on sha-512, which is no longer relied on`)
  const listed = new Map(manifest.entries.map(({ path, digest }) => [path, digest]))
  const earlier = view.entries.filter(({ path }) => renewalNumber(path) < number)
  for (const { path, digests } of earlier) {
    const digest = listed.get(path)
    if (digest === undefined) add(path, 'extra', `${path} was not there when the seal was renewed (${file})`)
    else if (digest !== digests['sha-512']) add(path, 'changed', `${path} is not the file that ${file} lists`)
    listed.delete(path)
  }
  for (const path of listed.keys())
    add(path, 'missing', `${path} was there when the seal was renewed (${file}) and is not now`)
}

/** 0 for what is no part of a renewal. */
const renewalNumber = (path: string): number => Number(/^renewal-([1-9]\d*)\//.exec(path)?.[1] ?? 0)

/** The first renewal that is not there, though a later one is: whoever adds a folder of a high number leaves many out. */
function findGap(numbers: readonly number[]): SealFault[] {
  const gap = numbers.findIndex((number, index) => number !== index + 1)
  if (gap < 0) return []
  const file = manifestOf(gap + 1)
  return [{ file, code: 'missing', text: `${file} is missing, though there is a later renewal` }]
}

/** Files in folders of renewals that are neither manifest nor stamp. */
function findStrays(view: BagView, numbers: readonly number[]): SealFault[] {
  const known = new Set(numbers.flatMap((number) => [manifestOf(number), stampOf(number)]))
  return view.entries
    .map(({ path }) => path)
    .filter((path) => renewalNumber(path) > 0 && !known.has(path))
    .toSorted(compare)
    .map((path) => ({ file: path, code: 'uncovered', text: `${path} is no part of a renewal` }))
}

/** Each stamp is later than the one before it. */
function findDisorder(answers: readonly StampAnswer[]): SealFault[] {
  return answers.flatMap((answer, index) => {
    const before = answers[index - 1]
    if (before?.time == null || answer.time === null || before.time <= answer.time) return []
    const file = answer.stamp.file
    return [
      { file, code: 'out-of-order', text: `${file} is of ${answer.stamp.time}, before the renewal that it carries on` },
    ]
  })
}
