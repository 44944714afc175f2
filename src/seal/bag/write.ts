/** Fills a bag: payload, what was found of it, manifests, signature, stamp, in the order in which each rests on the last. */
import { createHash } from 'node:crypto'
import { type NamedFile, namesFile, writeNames } from '../../facts/original-names.ts'
import { writeReadme } from '../bag-readme.ts'
import { signDetached } from '../cms/sign.ts'
import type { Signer } from '../signer.ts'
import { wrapToken } from '../stamp/exchange.ts'
import { sealFiles } from './examine.ts'
import { nameManifest, writeManifest } from './manifest.ts'
import { nameFiles } from './names.ts'
import { declaration, type Tag, writeOxum, writeTags } from './tags.ts'

/** Where a bag is written to: `src/io/bag-writer.ts` and `zip-writer.ts`. Nothing is seen of it before it is whole. */
export interface BagSink {
  /** Writes one file; digests in lower-case hexadecimal. It is durable when the bag is there. */
  put(path: string, content: AsyncIterable<Uint8Array> | Uint8Array): Promise<WrittenFile>
}

export interface WrittenFile {
  path: string
  bytes: number
  sha256: string
  sha512: string
}

export interface BagSource {
  /** Name of the packet. */
  packet: string
  /** `sha256:…` of the packet as received. */
  digest: string
  /** The report and the rules, by path in the bag. */
  attachments: readonly { path: string; content: Uint8Array }[]
  /** Further tags of bag-info.txt. */
  tags: readonly Tag[]
  /** Name and version of the program. */
  agent: string
  /** The signer's time. */
  signed: Date
  signer: Signer
  /** Stamps bytes and gives the token; null for no stamp. */
  stamp: ((bytes: Uint8Array) => Promise<Uint8Array>) | null
}

/** The files of a packet, as they come into a bag. */
export interface Payload {
  /** The paths of all that will come, as received. Before the first file. */
  announce(paths: readonly string[]): void
  /** Puts one file into the bag; gives its SHA-256, lower-case hexadecimal. */
  take(path: string, content: AsyncIterable<Uint8Array> | Uint8Array): Promise<string>
  names(): readonly NamedFile[]
  written(): readonly WrittenFile[]
}

/** The part of a bag that is filled first. */
export function openPayload(sink: BagSink): Payload {
  let names: NamedFile[] = []
  let paths = new Map<string, string>()
  const written: WrittenFile[] = []
  return {
    announce(originals) {
      names = nameFiles(originals)
      paths = new Map(names.map(({ path, original }) => [original, path]))
    },
    async take(original, content) {
      const path = paths.get(original)
      if (path === undefined) throw new RangeError(`${original} was not announced`)
      const file = await sink.put(path, content)
      written.push(file)
      return file.sha256
    },
    names: () => names,
    written: () => written,
  }
}

export interface FilledBag {
  files: number
  bytes: number
  /** SHA-256 of tagmanifest-sha256.txt. */
  manifestDigest: string
  /** SHA-256 of the signer's certificate. */
  fingerprint: string
  /** Why there is no stamp, where one was asked for. */
  unstamped: Error | null
}

/**
 * Writes into the sink what makes a sealed bag of its payload. A stamp that is refused leaves the bag without one, and
 * says why. Rejects with RangeError where an announced file did not come.
 */
export async function finishBag(sink: BagSink, { names, written }: Payload, source: BagSource): Promise<FilledBag> {
  const payload = written()
  if (payload.length !== names().length) throw new RangeError('the payload is not whole')
  const { tagFiles } = await putLists(sink, payload, describeBag(source, payload))
  const put = async (path: string, content: Uint8Array) => void tagFiles.push(await sink.put(path, content))
  const fingerprint = createHash('sha256').update(source.signer.certificate).digest('hex')
  await put(namesFile, encode(writeNames(names())))
  await put('README.txt', encode(writeReadme({ signed: source.signed.toISOString(), fingerprint })))
  for (const { path, content } of source.attachments) await put(path, content)
  const { manifest, sha256: manifestDigest } = await putTagLists(sink, tagFiles)
  const unstamped = await putSeal(sink, manifest, source)
  const bytes = payload.reduce((sum, file) => sum + file.bytes, 0)
  return { files: payload.length, bytes, manifestDigest, fingerprint, unstamped }
}

/**
 * What makes a bag of the files that are in it (RFC 8493, 2.1): bagit.txt, bag-info.txt and the lists of the payload.
 * Gives them as the first of its tag files, and the list by SHA-256.
 */
export async function putLists(
  sink: BagSink,
  payload: readonly WrittenFile[],
  info: readonly Tag[],
): Promise<{ tagFiles: WrittenFile[]; manifest: Uint8Array }> {
  const manifest = encode(listBy('sha256', payload))
  const tagFiles = [
    await sink.put('bagit.txt', encode(declaration)),
    await sink.put('bag-info.txt', encode(writeTags(info))),
    await sink.put(nameManifest('sha-256', false), manifest),
    await sink.put(nameManifest('sha-512', false), encode(listBy('sha512', payload))),
  ]
  return { tagFiles, manifest }
}

/** The lists of the tag files (RFC 8493, 2.2.1); gives that by SHA-256, which a seal is made over, and its own digest. */
export async function putTagLists(
  sink: BagSink,
  tagFiles: readonly WrittenFile[],
): Promise<{ manifest: Uint8Array; sha256: string }> {
  const manifest = encode(listBy('sha256', tagFiles))
  const { sha256 } = await sink.put(nameManifest('sha-256', true), manifest)
  await sink.put(nameManifest('sha-512', true), encode(listBy('sha512', tagFiles)))
  return { manifest, sha256 }
}

/** Signs the list of the tag files, and has the signature stamped; gives why there is no stamp, where one was asked for. */
export async function putSeal(
  sink: BagSink,
  manifest: Uint8Array,
  { signer, signed, stamp }: Pick<BagSource, 'signer' | 'signed' | 'stamp'>,
): Promise<Error | null> {
  const seal = await signDetached(manifest, signer, { time: signed })
  await sink.put(sealFiles.signature, seal)
  return putStamp(sink, seal, stamp)
}

const encode = (text: string): Uint8Array => new TextEncoder().encode(text)

const listBy = (digest: 'sha256' | 'sha512', files: readonly WrittenFile[]): string =>
  writeManifest(files.map((file) => ({ path: file.path, digest: file[digest] })))

/** RFC 8493, 2.2.2. */
const describeBag = ({ packet, digest, tags, agent, signed }: BagSource, payload: readonly WrittenFile[]): Tag[] => [
  { label: 'Bag-Software-Agent', value: agent },
  { label: 'Bagging-Date', value: signed.toISOString().slice(0, 10) },
  { label: 'External-Description', value: `Calibration records: ${packet}` },
  { label: 'External-Identifier', value: digest },
  { label: 'Payload-Oxum', value: writeOxum(payload) },
  ...tags,
]

async function putStamp(sink: BagSink, seal: Uint8Array, stamp: BagSource['stamp']): Promise<Error | null> {
  if (stamp === null) return null
  let token: Uint8Array
  try {
    token = await stamp(seal)
  } catch (error) {
    if (error instanceof Error) return error
    throw error
  }
  await sink.put(sealFiles.stamp, wrapToken(token))
  return null
}
