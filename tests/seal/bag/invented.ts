/** Bags in memory: files by path, and the view that an opened bag gives of them. */
import { createHash } from 'node:crypto'
import { namesFile, writeNames } from '../../../src/facts/original-names.ts'
import { type BagExamination, type BagView, examineBag } from '../../../src/seal/bag/examine.ts'
import { writeManifest } from '../../../src/seal/bag/manifest.ts'
import { declaration, writeOxum, writeTags } from '../../../src/seal/bag/tags.ts'

export type Files = Readonly<Record<string, string | Uint8Array>>

const toBytes = (content: string | Uint8Array): Uint8Array =>
  typeof content === 'string' ? new TextEncoder().encode(content) : content

export const digestOf = (algorithm: string, content: string | Uint8Array): string =>
  createHash(algorithm).update(content).digest('hex')

const algorithms = { md5: 'md5', 'sha-1': 'sha1', 'sha-256': 'sha256', 'sha-384': 'sha384', 'sha-512': 'sha512' }

export function viewOf(files: Files, problems: BagView['problems'] = []): BagView {
  const paths = Object.keys(files).toSorted()
  return {
    entries: paths.map((path) => {
      const content = toBytes(files[path] as string)
      const digests = Object.entries(algorithms).map(([name, own]) => [name, digestOf(own, content)])
      return { path, bytes: content.length, digests: Object.fromEntries(digests) }
    }),
    tagFiles: new Map(
      paths.filter((path) => !path.startsWith('data/')).map((path) => [path, toBytes(files[path] as string)]),
    ),
    problems,
  }
}

/** A manifest of some of the files. */
export const listOf = (algorithm: string, files: Files, isListed: (path: string) => boolean): string =>
  writeManifest(
    Object.entries(files)
      .filter(([path]) => isListed(path))
      .map(([path, content]) => ({ path, digest: digestOf(algorithm, content) })),
  )

export const isPayload = (path: string): boolean => path.startsWith('data/')

/** A bag in the form that a sealed one has, but for the signature itself. */
export function makeSealedForm(payload: Files): Record<string, string | Uint8Array> {
  const sizes = Object.values(payload).map((content) => ({ bytes: toBytes(content).length }))
  const untagged: Files = {
    ...payload,
    'bagit.txt': declaration,
    'bag-info.txt': writeTags([{ label: 'Payload-Oxum', value: writeOxum(sizes) }]),
    'manifest-sha256.txt': listOf('sha256', payload, isPayload),
    'manifest-sha512.txt': listOf('sha512', payload, isPayload),
    [namesFile]: writeNames(Object.keys(payload).map((path) => ({ path, original: path.slice('data/'.length) }))),
    'README.txt': 'how to verify\n',
    'report/report.json': '{}\n',
  }
  return {
    ...untagged,
    'tagmanifest-sha256.txt': listOf('sha256', untagged, (path) => !isPayload(path)),
    'tagmanifest-sha512.txt': listOf('sha512', untagged, (path) => !isPayload(path)),
    'seal.p7s': 'a signature',
  }
}

/** A bag as others write it: bagit.txt and what is given. */
export const makePlainBag = (files: Files, version = '1.0'): Record<string, string | Uint8Array> => ({
  'bagit.txt': `BagIt-Version: ${version}\nTag-File-Character-Encoding: UTF-8\n`,
  ...files,
})

export const examine = (files: Files, problems: BagView['problems'] = []): BagExamination =>
  examineBag(viewOf(files, problems), { sealed: Object.hasOwn(files, 'seal.p7s') })

export const statesOf = ({ structure, files }: BagExamination): string =>
  `${structure.state} ${structure.code}, ${files.state} ${files.code}`

/** `CODE FILE` of every fault. */
export const faultsOf = ({ structure, files }: BagExamination): string[] =>
  [...structure.faults, ...files.faults].map(({ code, file }) => `${code} ${file}`)
