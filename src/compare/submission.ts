/** What is compared: a packet as it was handed in once, read and weighed. */
import type { Place } from '../facts/reading.ts'
import type { Report } from '../findings/report.ts'
import type { IntakePacket } from '../intake/evidence.ts'
import type { Declaration, FileContent } from '../packet/packet.ts'

/** Where a packet is fetched from: a path on this machine, or whatever else keeps packets. */
export interface PacketSource {
  /** Errors as for `openPacket`. */
  open(): Promise<IntakePacket>
}

/** `packet.yaml` as it was handed in. */
export interface SubmittedDeclaration {
  sha256: string
  bytes: number
  declared: Declaration
  /** Its lines; boxes as those of `Declaration.places`. */
  lines: readonly Place[]
}

export interface Submission {
  report: Report
  /** Lines of each file, from top to bottom. A file that could not be opened may be missing. */
  content: Readonly<Record<string, Pick<FileContent, 'lines'>>>
  declaration: SubmittedDeclaration | null
}
