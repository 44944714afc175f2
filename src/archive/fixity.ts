/** Reading everything that is kept again, and comparing it with its digest. */
import { createHash } from 'node:crypto'
import { type Actor, type Archive, act, guard } from './archive.ts'

export interface FixityOptions {
  /** Bytes a second at most; as fast as can be when left out. */
  bytesPerSecond?: number
  /** Only what was not found sound since then, RFC 3339, UTC. */
  since?: string
  progress?(done: number, of: number): void
}

export interface FixityResult {
  objects: number
  bytes: number
  /** Lost, or not what they were. */
  damaged: string[]
}

/** Between notes of how far it came; a run that was ended goes on from the last. */
const objectsAtOnce = 200

/** An entry of the log has room for so many digests. */
const mostNamed = 800

/**
 * Reads every object that was longest not looked at first, and logs what was found. Whatever ends it, what was found sound
 * up to then is noted, and the next run begins with the rest.
 */
export async function checkFixity(archive: Archive, actor: Actor, options: FixityOptions = {}): Promise<FixityResult> {
  const { since = '9999', progress } = options
  const started = `${archive.outside.now().toISOString().slice(0, 19)}Z`
  const until = since < started ? since : started
  const result: FixityResult = { objects: 0, bytes: 0, damaged: [] }
  const due = archive.db
    .selectFrom('objects')
    .where((it) => it.or([it('sound_at', 'is', null), it('sound_at', '<', until)]))
  const { of } = await due.select((it) => it.fn.countAll<number>().as('of')).executeTakeFirstOrThrow()
  for (let after = ''; ; ) {
    const batch = await due
      .select(['sha256', 'bytes'])
      .where('sha256', '>', after)
      .orderBy('sha256')
      .limit(objectsAtOnce)
      .execute()
    const last = batch.at(-1)
    if (last === undefined) break
    after = last.sha256
    await checkBatch(archive, batch, result, options)
    progress?.(result.objects, of)
  }
  await act(archive, actor, async () => ({
    entries: [{ act: 'fixity-checked', ...result, damaged: result.damaged.slice(0, mostNamed) }],
    result: undefined,
  }))
  return result
}

async function checkBatch(
  archive: Archive,
  batch: readonly { sha256: string; bytes: number }[],
  result: FixityResult,
  options: FixityOptions,
): Promise<void> {
  const sound: string[] = []
  for (const { sha256, bytes } of batch) {
    if (await isSound(archive, sha256, options)) sound.push(sha256)
    else result.damaged.push(sha256)
    result.objects++
    result.bytes += bytes
  }
  const at = `${archive.outside.now().toISOString().slice(0, 19)}Z`
  if (sound.length > 0)
    await guard(archive, () =>
      archive.db.updateTable('objects').set({ sound_at: at }).where('sha256', 'in', sound).execute(),
    )
}

/** Whether an object is there and what its name says. */
export async function isSound(
  { outside }: Archive,
  sha256: string,
  { bytesPerSecond }: FixityOptions = {},
): Promise<boolean> {
  const { objects } = outside.storage
  if ((await objects.size(sha256)) === null) return false
  const hash = createHash('sha256')
  try {
    for await (const chunk of objects.chunks(sha256)) {
      hash.update(chunk)
      if (bytesPerSecond !== undefined) await outside.pause((1000 * chunk.length) / bytesPerSecond)
    }
  } catch (error) {
    // A disk that cannot read it any more.
    if ((error as NodeJS.ErrnoException).code === undefined) throw error
    return false
  }
  return hash.digest('hex') === sha256
}
