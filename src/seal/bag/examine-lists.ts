/** Are the files of a packet those that the lists of digests among them name? */
import type { SealExamination, SealFault, SealPart } from '../../facts/seal.ts'
import type { DigestName } from '../certificates/algorithms.ts'
import type { DigestList, ListedDigest } from './digest-list.ts'
import { digestsByStrength, isStrong } from './examine.ts'
import type { BagEntry } from './view.ts'

/** Those that the files must be digested by, strongest first. */
export function listAlgorithms(lists: readonly DigestList[]): DigestName[] {
  const used = new Set(lists.flatMap(({ entries }) => entries.map(({ algorithm }) => algorithm)))
  return digestsByStrength.filter((name) => used.has(name))
}

/** Names that people give to such lists. */
const listName = /manifest|check-?sum|digest|hash|sums?\b|sha-?\d|md5/i

/**
 * Null where there is no list. `entries`: every file of the packet with the digests of `listAlgorithms`. A file that holds
 * more than a list, and is neither named as one nor right about any file, is none: what looks like a digest may be another
 * thing's.
 */
export function examineDigestLists(
  candidates: readonly DigestList[],
  entries: readonly BagEntry[],
): SealExamination | null {
  const found = new Map(entries.map((entry) => [entry.path, entry]))
  const lists = candidates.filter(
    ({ file, pure, entries: listed }) => pure || listName.test(file) || listed.some((one) => isRight(one, found)),
  )
  const [first] = lists
  if (first === undefined) return null
  const weighed = lists.flatMap((list) => weighList(list, found))
  const agreed = weighed.filter(({ code }) => code === 'agrees')
  const own = new Set(lists.map(({ file }) => file))
  const named = new Set(weighed.map(({ path }) => path))
  const extra = entries
    .filter(({ path }) => !named.has(path) && !own.has(path))
    .map(({ path }) => ({ file: path, code: 'extra', text: `${path} is in no list of digests` }))
  const faults = [...weighed.flatMap(({ fault }) => (fault === null ? [] : [fault])), ...extra]
  const strong = new Set(agreed.filter(({ algorithm }) => isStrong(algorithm)).map(({ path }) => path))
  const weak = agreed.filter(({ path }) => !strong.has(path)).map(({ algorithm }) => algorithm)
  const used = new Set(agreed.map(({ algorithm }) => algorithm))
  const settled = new Set(agreed.map(({ path }) => path)).size
  return {
    form: 'list',
    parts: [
      describe(first.file, faults, [...new Set(weak)], {
        strong: strong.size,
        settled,
        all: entries.length - own.size,
      }),
    ],
    signer: null,
    claimedTime: null,
    stamps: [],
    revocations: [],
    digests: digestsByStrength.filter((name) => used.has(name)),
  }
}

interface Weighed {
  path: string | null
  algorithm: DigestName
  code: 'agrees' | 'changed' | 'missing' | 'unsettled'
  fault: SealFault | null
}

const isRight = ({ path, algorithm, digest }: ListedDigest, found: ReadonlyMap<string, BagEntry>): boolean =>
  path !== null && found.get(path)?.digests[algorithm] === digest

function weighList({ file, pure, entries }: DigestList, found: ReadonlyMap<string, BagEntry>): Weighed[] {
  const agrees = entries.map((one) => isRight(one, found))
  return entries.map(({ path, name, algorithm }, index) => {
    if (agrees[index]) return { path, algorithm, code: 'agrees', fault: null }
    const tell = (code: Exclude<Weighed['code'], 'agrees'>, text: string): Weighed => ({
      path,
      algorithm,
      code,
      fault: { file: path ?? (name === '' ? file : name), code, text },
    })
    const proves = pure || entries.some((other, at) => other.algorithm === algorithm && agrees[at])
    if (path !== null)
      return proves
        ? tell('changed', `${path} is not the file that ${file} lists`)
        : tell('unsettled', `${path} has none of the digests that ${file} gives`)
    if (pure) return tell('missing', `${name} is listed in ${file} and is not in the packet`)
    return tell('unsettled', `${file} has a digest of a file that cannot be told`)
  })
}

interface Counts {
  /** Files that agree with a list whose digests cannot be forged. */
  strong: number
  /** Files that agree with any list. */
  settled: number
  /** Files that are no list themselves. */
  all: number
}

function describe(
  file: string,
  faults: readonly SealFault[],
  weak: readonly DigestName[],
  { strong, settled, all }: Counts,
): SealPart {
  const part = { part: 'files', file, faults } as const
  if (faults.some(({ code }) => code === 'changed' || code === 'missing'))
    return { ...part, state: 'broken', code: 'differ', text: `The files are not those that ${file} lists` }
  if (faults.length > 0)
    return {
      ...part,
      state: 'doubtful',
      code: 'list-incomplete',
      text:
        settled < all
          ? `The lists of digests settle ${settled} of ${all} files, and leave the others open`
          : 'Every file is in a list of digests, and the lists have digests besides that are of no file here',
    }
  if (weak.length > 0)
    return {
      ...part,
      state: 'doubtful',
      code: 'weak-algorithm-only',
      text: `The files agree with their list, whose digests (${weak.join(', ')}) can be forged`,
    }
  return { ...part, state: 'holds', code: 'agree', text: `All ${strong} files are those that ${file} lists` }
}
