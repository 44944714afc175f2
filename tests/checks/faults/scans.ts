/** Packets of a pre-scan and one or more post-scans. */
import type { CodeReading, DocumentFacts, DocumentKind, ModuleReading } from '../../../src/facts/document.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { makeDocument, makeEvent, makePacket, makePlace } from '../packet-builder.ts'

export interface ScanParts extends Partial<DocumentFacts> {
  /** Minutes after 14:00 UTC, where the timeline knows it. */
  at?: number
}

/** An active code of the front radar, driver assistance, unless said otherwise. */
export function makeCode(parts: Partial<CodeReading> = {}): CodeReading {
  const code = {
    module: 'Front radar',
    code: 'C1A67',
    failureType: null,
    status: 'active',
    system: 'driver-assistance',
  }
  return { ...(code as CodeReading), ...parts }
}

export function makeModule(name: string, parts: Partial<ModuleReading> = {}): ModuleReading {
  return { name, state: 'no-fault', ...parts }
}

/** Post-scans, as `post-1.pdf` and so on. */
export function postScans(...scans: readonly ScanParts[]): Packet {
  return packetOfScans(scans.map((scan) => ['post-scan', scan]))
}

/** Any scans, as `pre-1.pdf`, `post-2.pdf` and so on. */
export function packetOfScans(scans: readonly (readonly ['pre-scan' | 'post-scan', ScanParts])[]): Packet {
  const fileOf = (kind: DocumentKind, index: number) => `${kind === 'pre-scan' ? 'pre' : 'post'}-${index + 1}.pdf`
  const documents = scans.map(([kind, { at: _, ...facts }], index) =>
    makeDocument(kind, fileOf(kind, index), {
      evidence: Object.fromEntries([
        ...(facts.codes ?? []).map((code, line) => [`codes.${line}`, [makePlace(`${code.code} ${code.status}`)]]),
        ...(facts.modules ?? []).map((module, line) => [`modules.${line}`, [makePlace(module.name)]]),
      ]),
      ...facts,
    }),
  )
  const events = scans.map(([kind, { at }], index) => {
    const instant = at === undefined ? null : `2026-10-20T14:${String(at).padStart(2, '0')}:00Z`
    return makeEvent(`${kind}-${index + 1}`, instant, instant, { file: fileOf(kind, index) })
  })
  return makePacket(documents, { events })
}
