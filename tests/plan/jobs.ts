/** Packets of the examples and tests, read once, for plans and drafts. */
import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { loadVocabulary } from '../../cli/shipped-data.ts'
import type { Vocabulary } from '../../src/facts/vocabulary.ts'
import { fileSystem } from '../../src/io/files.ts'
import { startReading } from '../../src/io/reading-process.ts'
import type { Packet } from '../../src/packet/packet.ts'
import { readPacket } from '../../src/review.ts'
import { root } from '../source-file.ts'

export const reviewed = '2026-11-25'

export const exampleNames = readdirSync(join(root, 'examples', 'packets')).sort()
export const exampleFolder = (name: string): string => join(root, 'examples', 'packets', name)

/** The packets in `folders`, in their order, and the vocabulary that they were read by. */
export async function readJobs(folders: readonly string[]): Promise<{ packets: Packet[]; vocabulary: Vocabulary }> {
  const vocabulary = await loadVocabulary(undefined)
  const reading = startReading()
  try {
    const outside = { storage: fileSystem, read: reading.read }
    const packets: Packet[] = []
    for (const folder of folders) packets.push(await readPacket(folder, outside, { vocabulary, reviewed }))
    return { packets, vocabulary }
  } finally {
    await reading.close()
  }
}
