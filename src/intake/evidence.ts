import type { AlgorithmName } from '../facts/algorithms.ts'
import type { Media } from '../facts/media.ts'

/** What an opened packet consists of. Nothing here depends on where the packet stood. */

/** One file of a packet, hashed and sniffed. Its bytes are fetched on demand and proved against the hash each time. */
export interface EvidenceFile {
  /** Relative to the packet's root, forward slashes, Unicode form NFC. */
  readonly path: string
  /** Size in bytes. */
  readonly bytes: number
  /** Lower-case hexadecimal. */
  readonly sha256: string
  /** By content, never by name: see `sniff`. */
  readonly media: Media
  /**
   * The whole content, in an array that the caller may keep or detach.
   * @throws IntakeError `changed` when the content no longer has the hash, `unreadable` when it cannot be read.
   */
  read(): Promise<Uint8Array<ArrayBuffer>>
  /**
   * The content from its start in pieces, not proved against the hash: for whoever hashes it on the way. A piece is good
   * until the next is asked for.
   */
  chunks(): AsyncIterable<Uint8Array>
}

/** `packet.yaml` at the root, as found. */
export interface DeclarationFile {
  readonly path: 'packet.yaml'
  readonly bytes: number
  readonly sha256: string
  readonly data: Uint8Array<ArrayBuffer>
  /** As of `EvidenceFile`. */
  chunks(): AsyncIterable<Uint8Array>
}

/** Something an operating system or office program leaves behind, and no evidence. */
export interface IgnoredFile {
  readonly path: string
  readonly reason: string
}

/** Something that stands in the packet and was not taken as evidence. The rest of the packet is sound. */
export interface FileProblem {
  /** As in `EvidenceFile`, with characters that could mislead a reader written as `\u{…}`. */
  readonly path: string
  readonly code: FileProblemCode
  readonly message: string
  /** What the user can do about it. */
  readonly mend: string
}

export type FileProblemCode =
  | 'link'
  | 'not-a-file'
  | 'unreadable'
  | 'unsafe-name'
  | 'name-too-long'
  | 'too-deep'
  | 'too-large'
  | 'suspicious-ratio'
  | 'encrypted'
  | 'unsupported-compression'
  | 'damaged'

export interface IntakePacket {
  /** Of the folder, of the zip without its ending, or of the single file. */
  readonly name: string
  readonly form: 'folder' | 'zip' | 'file'
  /** What stands beside the payload where the packet is a bag (RFC 8493), in a folder or a zip; else null. */
  readonly bag: BagContents | null
  /** Sorted by path in code units. Never holds the declaration, an ignored file or a problem. */
  readonly files: readonly EvidenceFile[]
  readonly declaration: DeclarationFile | null
  readonly ignored: readonly IgnoredFile[]
  readonly problems: readonly FileProblem[]
  /** `sha256:` and the digest of files and declaration: see `digestPacket`. */
  readonly digest: string
}

/** Whoever keeps a copy of a packet, made in the one pass that hashes it. */
export interface Copier {
  /** Told what will come before any content is read. Throws what is to end the opening. */
  begin(packet: {
    readonly isBag: boolean
    /** Of the files, the declaration among them. */
    readonly paths: readonly string[]
    /** Found so far. */
    readonly problems: readonly FileProblem[]
  }): void
  /** Reads a file to its end and gives the SHA-256 of what was kept, lower-case hexadecimal. One file at a time. */
  copy(path: string, chunks: AsyncIterable<Uint8Array>): Promise<string>
}

/** Everything that a bag holds, for whoever verifies it. */
export interface BagContents {
  /** Every file, the payload too, sorted by path; digests in lower-case hexadecimal, by every algorithm of a manifest. */
  readonly entries: readonly {
    readonly path: string
    readonly bytes: number
    readonly digests: Readonly<Partial<Record<AlgorithmName, string>>>
    /** As of `EvidenceFile`. */
    chunks(): AsyncIterable<Uint8Array>
  }[]
  /** The content of the files at the root and in folders of renewals (`renewal-1/`), but for what is too large. */
  readonly tagFiles: ReadonlyMap<string, Uint8Array>
  /** What could not be taken, the payload too; paths in the bag. */
  readonly problems: readonly FileProblem[]
}
