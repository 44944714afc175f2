/** What an opened bag consists of, and which of its files stand beside its lists. */
import type { DigestName } from '../certificates/algorithms.ts'

export interface BagView {
  /** Every file, sorted by path, with the digests that its manifests ask for. */
  entries: readonly BagEntry[]
  /** The content of small files at the root and of renewals, by path. */
  tagFiles: ReadonlyMap<string, Uint8Array>
  /** What stands in the bag and could not be taken: links, unreadable files, unsafe names. */
  problems: readonly BagProblem[]
}

export interface BagEntry {
  /** Unicode form NFC. */
  path: string
  bytes: number
  /** Lower-case hexadecimal. */
  digests: Readonly<Partial<Record<DigestName, string>>>
}

export interface BagProblem {
  path: string
  /** `damaged`: its content is proved to be another; `link`, `not-a-file`, `unsafe-name`: it is no plain file; else it could not be read here. */
  code: string
  message: string
}

export const isPayload = ({ path }: { path: string }): boolean => path.startsWith('data/')

/** The seal itself stands beside the tag manifest, which it covers. */
export const sealFiles = { signature: 'seal.p7s', stamp: 'seal.tsr' } as const
export const isRenewal = (path: string): boolean => /^renewal-[1-9]\d*\//.test(path)

export const sealedManifests = {
  payload: ['manifest-sha256.txt', 'manifest-sha512.txt'],
  tags: ['tagmanifest-sha256.txt', 'tagmanifest-sha512.txt'],
} as const

/** No tag manifest of a sealed bag lists these; they are held to their form by other means. */
export const isBesideSeal = (path: string): boolean =>
  path === sealFiles.signature ||
  path === sealFiles.stamp ||
  isRenewal(path) ||
  sealedManifests.tags.some((name) => name === path)
