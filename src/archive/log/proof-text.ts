/**
 * Proofs in a file (C2SP tlog-proof): that an entry stands in a log, verifiable by anybody who knows the log's key:
 *
 *     c2sp.org/tlog-proof@v1
 *     index <of the entry, from 0>
 *     <hash, base64>                   from the leaf's sibling to the root's child
 *
 *     <the checkpoint, a signed note>
 */
import { type Checkpoint, parseCheckpoint } from './checkpoint.ts'
import { hashBytes, hashLeaf, verifyInclusion } from './merkle.ts'
import { decode, NoteError, type NoteKey, parseNote, type Signed, verifyNote } from './note.ts'

const heading = 'c2sp.org/tlog-proof@v1'

export interface InclusionProof {
  index: number
  hashes: Uint8Array[]
  /** The checkpoint as it was signed, with whatever cosignatures it has. */
  checkpoint: Uint8Array
}

export function formatProof({ index, hashes, checkpoint }: InclusionProof): string {
  const lines = hashes.map((hash) => `${Buffer.from(hash).toString('base64')}\n`)
  return `${heading}\nindex ${index}\n${lines.join('')}\n${Buffer.from(checkpoint).toString('utf8')}`
}

/** Throws NoteError for what is no such proof. Extra data, which nobody vouches for, is passed over. */
export function parseProof(bytes: Uint8Array): InclusionProof {
  const text = Buffer.from(bytes).toString('utf8')
  const at = text.indexOf('\n\n')
  const [first, ...lines] = text.slice(0, Math.max(0, at)).split('\n')
  if (lines[0]?.startsWith('extra ')) lines.shift()
  const [, written = ''] = /^index (0|[1-9]\d*)$/.exec(lines.shift() ?? '') ?? []
  const hashes = lines.map(decode)
  const areHashes = hashes.every((hash) => hash?.length === hashBytes)
  if (first !== heading || written === '' || !Number.isSafeInteger(Number(written)) || !areHashes)
    throw new NoteError('This is no proof of an entry: its lines are not those of C2SP tlog-proof')
  return {
    index: Number(written),
    hashes: hashes.flatMap((hash) => (hash === null ? [] : [new Uint8Array(hash)])),
    checkpoint: new Uint8Array(Buffer.from(text.slice(at + 2), 'utf8')),
  }
}

/**
 * Verifies that `entry` stands in the log of `key`, without the log. `witnesses` are keys whose cosignatures count. Throws
 * NoteError, in words that say what does not hold.
 */
export function verifyProof(
  entry: Uint8Array,
  proof: InclusionProof,
  key: NoteKey,
  witnesses: readonly NoteKey[] = [],
): { checkpoint: Checkpoint; index: number; signed: Signed[] } {
  const note = parseNote(proof.checkpoint)
  const signed = verifyNote(note, [key, ...witnesses])
  if (!signed.some((one) => one.key === key)) throw new NoteError(`The checkpoint is not signed by ${key.name}`)
  const checkpoint = parseCheckpoint(note.text)
  if (checkpoint.origin !== key.name)
    throw new NoteError(`The checkpoint is of the log ${checkpoint.origin}, not of ${key.name}`)
  if (!verifyInclusion(hashLeaf(entry), proof.index, checkpoint.size, proof.hashes, checkpoint.root))
    throw new NoteError(`The entry is not number ${proof.index} of the log that the checkpoint is of`)
  return { checkpoint, index: proof.index, signed }
}
