/** How much a packet may ask of us. Sizes in bytes. */
export interface IntakeLimits {
  /** Files, folders, links and junk together. */
  readonly entries: number
  readonly fileBytes: number
  /** Of all files together, unpacked; also of the zip itself. */
  readonly totalBytes: number
  /** Of packet.yaml, which is read; null leaves it among the other files, unread, whatever it holds. */
  readonly declarationBytes: number | null
  /** Of one file of a bag that is no payload. */
  readonly tagFileBytes: number
  /** Unpacked over packed, for files above `ratioFloorBytes`. Deflate cannot exceed 1032. */
  readonly ratio: number
  /** A file that unpacks to no more than this may be packed as tightly as it likes. */
  readonly ratioFloorBytes: number
  /** The same for all files of a zip together. */
  readonly ratioTotalFloorBytes: number
  /** Folders above a file. */
  readonly depth: number
  /** Of one component of a path, in UTF-8. */
  readonly nameBytes: number
  readonly pathBytes: number
}

const MiB = 1024 * 1024

export const defaultIntakeLimits: IntakeLimits = {
  entries: 2000,
  fileBytes: 256 * MiB,
  totalBytes: 1024 * MiB,
  declarationBytes: MiB,
  tagFileBytes: 32 * MiB,
  ratio: 200,
  ratioFloorBytes: 8 * MiB,
  ratioTotalFloorBytes: 64 * MiB,
  depth: 16,
  nameBytes: 255,
  pathBytes: 1024,
}
