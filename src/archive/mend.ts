/** Putting good copies in the place of damaged contents, and taking away what belongs to nothing. */
import { type Actor, type Archive, act } from './archive.ts'
import { isSound } from './fixity.ts'

/** A file that may be a good copy of something. */
export interface Candidate {
  sha256: string
  chunks(): AsyncIterable<Uint8Array>
}

/** Contents that are lost or not what they were, of those that are named. */
export async function findDamaged(archive: Archive): Promise<string[]> {
  const kept = await archive.db.selectFrom('objects').select('sha256').orderBy('sha256').execute()
  const damaged: string[] = []
  for (const { sha256 } of kept) if (!(await isSound(archive, sha256))) damaged.push(sha256)
  return damaged
}

/** Mends what `candidates` have good copies of, and logs it; gives what was mended and what is damaged still. */
export async function mend(
  archive: Archive,
  actor: Actor,
  candidates: readonly Candidate[],
  from: string,
): Promise<{ mended: string[]; left: string[] }> {
  const bySha256 = new Map(candidates.map((candidate) => [candidate.sha256, candidate]))
  const damaged = await findDamaged(archive)
  const mended: string[] = []
  for (const sha256 of damaged) {
    const candidate = bySha256.get(sha256)
    if (candidate === undefined) continue
    // One that changed since it was hashed goes under another name.
    const put = await archive.outside.storage.objects.put(candidate.chunks())
    if (put.sha256 === sha256) mended.push(sha256)
  }
  for (let at = 0; at < mended.length; at += digestsAtOnce)
    await act(archive, actor, async () => ({
      entries: [{ act: 'mended', objects: mended.slice(at, at + digestsAtOnce), from }],
      result: undefined,
    }))
  return { mended, left: damaged.filter((sha256) => !mended.includes(sha256)) }
}

/** An entry of the log has room for so many. */
const digestsAtOnce = 800

/** Takes away contents that no entry names, and what receipts that never ended left behind; how many there were. */
export async function sweep(archive: Archive, actor: Actor): Promise<number> {
  const { objects } = archive.outside.storage
  return act(archive, actor, async (writing) => {
    const unnamed: string[] = []
    for await (const sha256 of objects.list()) {
      const named = await writing.selectFrom('objects').select('bytes').where('sha256', '=', sha256).executeTakeFirst()
      if (named === undefined) unnamed.push(sha256)
    }
    for (const sha256 of unnamed) await objects.remove(sha256)
    return { entries: [], result: unnamed.length + (await objects.sweep()) }
  })
}
