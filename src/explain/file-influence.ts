/** What each file does for a verdict: the check run again over the packet without it. */
import type { Finding, Verdict } from '../findings/report.ts'
import { buildPacket } from '../packet/build.ts'
import type { Packet } from '../packet/packet.ts'
import type { RunCheck } from './turning-points.ts'
import { worstVerdict } from './verdicts.ts'

export interface FileInfluence {
  file: string
  /** The worst verdict without the file, and the reason of the worst finding then. */
  verdict: Verdict
  reason: string
}

/** The files without which the worst verdict would be another, in their order. What stays in place is not listed. */
export function weighFiles(packet: Packet, findings: readonly Finding[], run: RunCheck): FileInfluence[] {
  const now = worstVerdict(findings)
  return packet.documents.flatMap(({ file }): FileInfluence[] => {
    const without = run(leaveOut(packet, file))
    const verdict = worstVerdict(without)
    if (verdict === now) return []
    const worst = without.find((finding) => finding.verdict === verdict)
    return [{ file, verdict, reason: worst?.reason ?? '' }]
  })
}

/** The packet as it would be without one of its files. What other files were taken for stays as it is. */
function leaveOut(packet: Packet, file: string): Packet {
  const { name, digest, reviewed, declaration, documents, content } = packet
  const rest = documents.filter((document) => document.file !== file)
  return buildPacket({ name, digest, reviewed, declaration, documents: rest, content })
}
