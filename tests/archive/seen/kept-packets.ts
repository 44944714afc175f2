/** Packets that an archive keeps with their prints. */
import { type Archive, act, putObject } from '../../../src/archive/archive.ts'
import { keepPrints } from '../../../src/archive/seen/ask.ts'
import type { Packet } from '../../../src/packet/packet.ts'
import { clerk, receiveTexts } from '../archive-place.ts'

/** Receives a packet of that name, and logs a check that leaves its prints; its number. */
export async function keep(
  archive: Archive,
  packet: Packet,
  texts: Record<string, string> = { [`${packet.name}.txt`]: packet.name },
): Promise<string> {
  const { accession } = await receiveTexts(archive, packet.name, texts)
  await check(archive, accession, packet)
  return accession
}

/** Logs a check of a packet, with its prints unless they are left out as older versions did. */
export async function check(
  archive: Archive,
  accession: string,
  packet: Packet,
  kept = { prints: true },
): Promise<void> {
  const report = await putObject(
    archive.outside.storage,
    Buffer.from(JSON.stringify({ vehicle: packet.vehicle, documents: [], findings: [] })),
  )
  const rulebook = { name: 'general', version: '1.0.0', sha256: '0'.repeat(64) }
  const checked = { accession, report, rulebook, reviewed: '2026-03-15', verdict: 'pass', program: '0.1.0' } as const
  const prints = kept.prints ? { prints: await keepPrints(archive, packet) } : {}
  await act(archive, clerk, async () => ({ entries: [{ act: 'checked', ...checked, ...prints }], result: undefined }))
}
