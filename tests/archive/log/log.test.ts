/** A log in tiles: what stands in the folder, what an interrupted append leaves, and what an audit finds. */
import { createHash, generateKeyPairSync } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { auditLog } from '../../../src/archive/log/audit.ts'
import {
  addCosignature,
  appendEntries,
  beginLog,
  type Head,
  type LogStorage,
  openLog,
  proveContinuation,
  proveEntry,
  readEntries,
  readHead,
  rootAt,
} from '../../../src/archive/log/log.ts'
import { verifyConsistency } from '../../../src/archive/log/merkle.ts'
import { makeSigner, signText } from '../../../src/archive/log/note.ts'
import { formatProof, parseProof, verifyProof } from '../../../src/archive/log/proof-text.ts'
import { formatBundle, parseBundle, tilePath, tilesToWrite } from '../../../src/archive/log/tiles.ts'

const signer = makeSigner('log.example/bay', 1, generateKeyPairSync('ed25519').privateKey)
const witness = makeSigner('witness.example/north', 4, generateKeyPairSync('ed25519').privateKey)

/** A folder in memory. */
function makeStorage() {
  const files = new Map<string, Uint8Array>()
  const storage: LogStorage = {
    read: async (path) => files.get(path) ?? null,
    write: async (path, bytes) => void files.set(path, Uint8Array.from(bytes)),
    list: async () => [...files.keys()],
    remove: async (path) => void files.delete(path),
  }
  return { files, storage }
}

const entriesFrom = (start: number, count: number) =>
  Array.from({ length: count }, (_, at) => Uint8Array.from(Buffer.from(`{"entry":${start + at}}`)))

async function makeLog(...batches: number[]) {
  const { files, storage } = makeStorage()
  let head = await beginLog(storage, signer)
  for (const count of batches) head = await appendEntries(storage, signer, head, entriesFrom(head.size, count))
  return { files, storage, head }
}

/** MTH of RFC 9162, 2.1.1, as the text defines it. */
function definedRoot(leaves: readonly Uint8Array[]): Buffer {
  const hash = (...parts: Uint8Array[]) => createHash('sha256').update(Buffer.concat(parts)).digest()
  const [only] = leaves
  if (only === undefined) return hash()
  if (leaves.length === 1) return hash(Buffer.from([0]), only)
  const k = 2 ** Math.ceil(Math.log2(leaves.length) - 1)
  return hash(Buffer.from([1]), definedRoot(leaves.slice(0, k)), definedRoot(leaves.slice(k)))
}

async function collect(log: AsyncIterable<{ entry: Uint8Array }>): Promise<string[]> {
  const texts: string[] = []
  for await (const { entry } of log) texts.push(Buffer.from(entry).toString())
  return texts
}

describe('tiles', () => {
  // C2SP tlog-tiles: "index 1234067 will be encoded as x001/x234/067".
  test('stand where C2SP tlog-tiles says', () => {
    expect(tilePath({ level: 0, index: 1234067, width: 256 })).toBe('tile/0/x001/x234/067')
    expect(tilePath({ level: 'entries', index: 0, width: 1 })).toBe('tile/entries/000.p/1')
  })

  // C2SP tlog-tiles, "Partial tiles": the example of a tree of 70,000, and that of one of 256.
  test('are as many as C2SP tlog-tiles counts', () => {
    const count = (size: number) => {
      const tiles = tilesToWrite(0, size).filter(({ level }) => level !== 'entries')
      return [0, 1, 2, 3].map((level) => tiles.filter((tile) => tile.level === level).map(({ width }) => width))
    }
    const [leaves, first, second, third] = count(70_000)
    expect(leaves?.filter((width) => width === 256).length).toBe(273)
    expect(leaves?.filter((width) => width < 256)).toEqual([112])
    expect([first, second, third]).toEqual([[256, 17], [1], []])
    expect(count(256)).toEqual([[256], [1], [], []])
  })

  test('bundles give their entries back, and none where their lengths do not add up', () => {
    const entries = [new Uint8Array(), Uint8Array.of(1), new Uint8Array(0xffff).fill(7)]
    expect(parseBundle(formatBundle(entries))?.map((entry) => Uint8Array.from(entry))).toEqual(entries)
    expect(parseBundle(formatBundle(entries).subarray(0, -1))).toBeNull()
    expect(parseBundle(Uint8Array.of(0))).toBeNull()
    expect(() => formatBundle([new Uint8Array(0x10000)])).toThrow('at most 65535 bytes')
  })
})

describe('a log', () => {
  test('has the root of its entries, however they came', async () => {
    const whole = entriesFrom(0, 600)
    for (const batches of [[600], [1, 254, 1, 1, 255, 88], Array.from({ length: 100 }, () => 6)]) {
      const { head, storage } = await makeLog(...batches)
      expect(Buffer.from(head.root)).toEqual(definedRoot(whole))
      expect(await collect(readEntries(storage, head))).toEqual(whole.map((entry) => Buffer.from(entry).toString()))
      expect(await auditLog(storage, head)).toEqual({ faults: [], unfinished: [] })
    }
  })

  test('reaches a third level of tiles', async () => {
    const { files, head, storage } = await makeLog(65_536, 300)
    expect([...files.keys()].filter((path) => path.startsWith('tile/2/'))).toEqual(['tile/2/000.p/1'])
    expect(Buffer.from(head.root)).toEqual(definedRoot(entriesFrom(0, 65_836)))
    const proof = await proveEntry(storage, head, 65_600)
    expect(verifyProof(entriesFrom(65_600, 1)[0] ?? new Uint8Array(), proof, signer.key).index).toBe(65_600)
    expect((await auditLog(storage, head)).faults).toEqual([])
  })

  test('keeps no narrower form of a full tile', async () => {
    const { files } = await makeLog(...Array.from({ length: 260 }, () => 1))
    expect([...files.keys()].filter((path) => path.startsWith('tile/entries/000.p/'))).toEqual([])
    expect(files.has('tile/entries/000')).toBe(true)
  })

  test('proves every entry, and that it continues what it was', async () => {
    const { head, storage } = await makeLog(100, 200, 30)
    for (const index of [0, 99, 100, 255, 256, 329]) {
      const text = formatProof(await proveEntry(storage, head, index))
      const proof = parseProof(new Uint8Array(Buffer.from(text)))
      const [entry = new Uint8Array()] = entriesFrom(index, 1)
      expect(verifyProof(entry, proof, signer.key)).toMatchObject({ index, checkpoint: { size: 330 } })
      const [other = new Uint8Array()] = entriesFrom(index + 1, 1)
      expect(() => verifyProof(other, proof, signer.key)).toThrow(`not number ${index}`)
    }
    for (const size of [0, 1, 100, 256, 300, 330]) {
      const proof = await proveContinuation(storage, head, size)
      expect(verifyConsistency(size, head.size, proof, await rootAt(storage, head, size), head.root)).toBe(true)
    }
    expect(Buffer.from(await rootAt(storage, head, 300))).toEqual(definedRoot(entriesFrom(0, 300)))
  })

  test('carries the cosignatures of witnesses', async () => {
    const { files, head, storage } = await makeLog(3)
    const text = Buffer.from(head.note).toString().split('\n\n')[0]
    await addCosignature(storage, head, signText(`${text}\n`, witness, 1_790_000_000))
    await addCosignature(storage, await openLog(storage, signer.key), signText(`${text}\n`, witness, 1_790_000_001))
    const { signed } = readHead(files.get('checkpoint') ?? new Uint8Array(), signer.key, [witness.key])
    expect(signed.map(({ key, time }) => [key.name, time])).toEqual([
      ['log.example/bay', null],
      ['witness.example/north', 1_790_000_001],
    ])
  })

  test('is begun once, and opened by its own key alone', async () => {
    const { storage } = await makeLog(3)
    await expect(beginLog(storage, signer)).rejects.toThrow('stands here already')
    const stranger = makeSigner('log.example/bay', 1, generateKeyPairSync('ed25519').privateKey)
    await expect(openLog(storage, stranger.key)).rejects.toThrow('is not signed by log.example/bay')
    await expect(openLog(makeStorage().storage, signer.key)).rejects.toThrow('has lost its checkpoint')
  })
})

describe('an append that is interrupted', () => {
  test.each([1, 250, 300])(
    'after any of its steps leaves the log as it was, and can be done again (%i entries)',
    async (count) => {
      let done = false
      for (let steps = 0; !done; steps++) {
        const { files, storage, head } = await makeLog(200)
        let left = steps
        const failing: LogStorage = {
          ...storage,
          write: async (path, bytes) => {
            if (left-- === 0) throw new Error('killed')
            await storage.write(path, bytes)
          },
        }
        const outcome = await appendEntries(failing, signer, head, entriesFrom(200, count)).catch(() => null)
        done = outcome !== null
        const now = await openLog(storage, signer.key)
        expect(now.size).toBe(done ? 200 + count : 200)
        expect((await auditLog(storage, now)).faults).toEqual([])
        const again = done ? now : await appendEntries(storage, signer, now, entriesFrom(200, count))
        expect(Buffer.from(again.root)).toEqual(definedRoot(entriesFrom(0, 200 + count)))
        expect((await auditLog(storage, again)).faults).toEqual([])
        expect(files.size).toBeGreaterThan(2)
      }
    },
  )

  test('leaves files that an audit names as unfinished', async () => {
    const { files, storage, head } = await makeLog(200)
    files.set('tile/entries/000.p/201', Uint8Array.of(0))
    expect(await auditLog(storage, head)).toEqual({ faults: [], unfinished: ['tile/entries/000.p/201'] })
  })
})

/** Whether anybody who knows the key of the log sees that it is not what it was. */
async function isSeen(storage: LogStorage, before: Head): Promise<boolean> {
  try {
    const head = await openLog(storage, signer.key)
    if (head.size !== before.size) return true
    return (await auditLog(storage, head)).faults.length > 0
  } catch {
    return true
  }
}

describe('an audit', () => {
  test.each([
    { batches: [3, 4, 6], step: 1 },
    { batches: [3, 254, 6], step: 61 },
  ])('sees every byte that was changed, in every file: $batches, each byte in $step', async ({ batches, step }) => {
    const { files, storage, head } = await makeLog(...batches)
    for (const [path, bytes] of [...files]) {
      for (let at = 0; at < bytes.length; at += step) {
        const bent = Uint8Array.from(bytes)
        bent[at] = (bent[at] ?? 0) ^ (1 << (at % 8))
        files.set(path, bent)
        if (!(await isSeen(storage, head))) expect.fail(`${path}, byte ${at}`)
      }
      files.set(path, bytes)
    }
    expect(await isSeen(storage, head)).toBe(false)
  })

  test('sees files that were cut, lengthened, lost or exchanged, and files that do not belong', async () => {
    const { files, storage, head } = await makeLog(256, 256, 6)
    for (const [path, bytes] of [...files]) {
      for (const changed of [bytes.subarray(0, -1), Buffer.concat([bytes, Uint8Array.of(0)]), new Uint8Array()]) {
        files.set(path, changed)
        expect(await isSeen(storage, head), `${path}, ${changed.length} bytes`).toBe(true)
      }
      files.delete(path)
      // A narrower form of a tile says nothing that the tile does not say.
      expect(await isSeen(storage, head), `${path} lost`).toBe(path !== 'tile/1/000.p/1')
      files.set(path, bytes)
    }
    const [one, other] = ['tile/entries/000', 'tile/entries/001'].map((path) => files.get(path) ?? new Uint8Array())
    files.set('tile/entries/000', other ?? new Uint8Array())
    files.set('tile/entries/001', one ?? new Uint8Array())
    expect(await isSeen(storage, head)).toBe(true)
    files.set('tile/entries/000', one ?? new Uint8Array())
    files.set('tile/entries/001', other ?? new Uint8Array())
    files.set('tile/notes.txt', Uint8Array.of(1))
    expect(await isSeen(storage, head)).toBe(true)
  })

  test('sees entries that were rewritten, dropped or put in another order with all their hashes', async () => {
    const { files, storage, head } = await makeLog(300)
    const whole = entriesFrom(0, 300)
    const swapped = whole.map((entry, at) =>
      at === 10 ? (whole[11] ?? entry) : at === 11 ? (whole[10] ?? entry) : entry,
    )
    const dropped = [...whole.slice(0, 50), ...whole.slice(51), ...entriesFrom(300, 1)]
    for (const entries of [swapped, dropped, whole.with(299, Uint8Array.of(1))]) {
      const { files: others, storage: forged } = makeStorage()
      const stranger = makeSigner('log.example/bay', 1, generateKeyPairSync('ed25519').privateKey)
      await appendEntries(forged, stranger, await beginLog(forged, stranger), entries)
      for (const [path, bytes] of others) if (path !== 'checkpoint') files.set(path, bytes)
      expect((await auditLog(storage, head)).faults).toContain(
        'The entries are not those that the checkpoint was signed over',
      )
    }
  })

  test('sees, by a checkpoint that somebody kept, that the log itself was rewritten with its own key', async () => {
    const kept = await makeLog(300)
    const rewritten = makeStorage()
    const entries = entriesFrom(0, 310).with(5, Uint8Array.of(1))
    const head = await appendEntries(rewritten.storage, signer, await beginLog(rewritten.storage, signer), entries)
    expect((await auditLog(rewritten.storage, head)).faults).toEqual([])
    const proof = await proveContinuation(rewritten.storage, head, 300)
    expect(verifyConsistency(300, 310, proof, kept.head.root, head.root)).toBe(false)
  })
})
