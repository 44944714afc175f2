/** A process is killed at any moment of any act: what it said was done is done, nothing is half there, log and register agree. */
import { spawn } from 'node:child_process'
import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { setTimeout } from 'node:timers/promises'
import { beforeAll, expect, test } from 'vitest'
import { closeArchive, history, initArchive, openArchive } from '../../src/archive/archive.ts'
import { restoreFrom } from '../../src/archive/backup.ts'
import { nameCustodian } from '../../src/archive/disposal.ts'
import type { Entry } from '../../src/archive/entry.ts'
import { sweep } from '../../src/archive/mend.ts'
import { auditArchive } from '../../src/archive/verify.ts'
import { archiveFolder } from '../../src/io/archive/folder.ts'
import { createIdentity } from '../../src/seal/identity/identity.ts'
import { formatPem } from '../../src/seal/identity/pem.ts'
import { clerk, freshRegister, makeFolder, outsideOf } from './made-archive.ts'

/** Archives at a time, and how often the processes of each are killed. */
const [lanes, kills] = [3, 102]

const child = join(import.meta.dirname, 'acting-child.ts')
let identities = ''
const certificates: Uint8Array[] = []

beforeAll(async () => {
  identities = await makeFolder()
  for (const [file, commonName] of [
    ['one.pem', 'Noor Vance'],
    ['other.pem', 'Ilse Brandt'],
  ] as const) {
    const identity = await createIdentity(
      'ecdsa-p256',
      { commonName },
      { now: new Date('2026-03-15T10:00:00Z'), days: 9 },
    )
    const key = identity.key.export({ format: 'pem', type: 'pkcs8' }).toString()
    writeFileSync(join(identities, file), `${formatPem('CERTIFICATE', identity.certificate)}${key}`)
    certificates.push(identity.certificate)
  }
})

/**
 * Lets a process finish some acts and go on for a while, kills it, and gives what it said was done. The acts are
 * counted, and not only the time, so that a slow machine kills after as many of them as a fast one.
 */
async function liveAndDie(folder: string, seed: number, acts: number, milliseconds: number): Promise<string[]> {
  const acting = spawn(process.execPath, [child, folder, identities, String(seed)], {
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, NODE_COMPILE_CACHE: join(identities, 'compiled') },
  })
  const ended = new Promise<string | null>((resolve) => acting.once('exit', (_, signal) => resolve(signal)))
  const said: string[] = []
  for await (const line of createInterface(acting.stdout)) {
    if (line !== 'ready') said.push(line)
    if (said.length >= acts) void setTimeout(milliseconds).then(() => acting.kill('SIGKILL'))
  }
  // By nothing else than the kill: an act that fails would end it with a status.
  expect(await ended).toBe('SIGKILL')
  return said
}

const wordsFor = (entry: Entry): string | null => {
  if (entry.act === 'received' || entry.act === 'sealed' || entry.act === 'disposed')
    return `${entry.act} ${entry.accession}`
  if (entry.act === 'held' || entry.act === 'released') return `${entry.act} ${entry.hold}`
  return entry.act === 'backed-up' ? entry.act : null
}

async function runLane(lane: number): Promise<{ acknowledged: number; unnamed: number }> {
  const folder = await makeFolder()
  const first = await initArchive(outsideOf(folder), 'archive.example/bay', clerk)
  for (const certificate of certificates) await nameCustodian(first, clerk, certificate)
  await closeArchive(first)
  const acknowledged: string[] = []
  let unnamed = 0
  for (let kill = 0; kill < kills; kill++) {
    const seed = lane * kills + kill + 1
    acknowledged.push(...(await liveAndDie(folder, seed, seed % 4, (seed * 37) % 150)))
    const archive = await openArchive(outsideOf(folder))
    const logged: string[] = []
    for await (const { entry } of history(archive)) logged.push(wordsFor(entry) ?? '')
    expect(acknowledged.filter((words) => !logged.includes(words))).toEqual([])
    // The whole of it now and then: it grows.
    if (kill % 6 === 0 || kill === kills - 1) {
      const audit = await auditArchive(archive, freshRegister)
      expect({ ...audit, unnamed: [], unfinished: [] }).toMatchObject({
        logFaults: [],
        registerFaults: [],
        damaged: [],
      })
      unnamed += audit.unnamed.length
      await sweep(archive, clerk)
    }
    await closeArchive(archive)
  }
  await expectCopy(folder)
  return { acknowledged: acknowledged.length, unnamed }
}

/** A copy whose making was interrupted is brought up to date by the next, and can be restored. */
async function expectCopy(folder: string): Promise<void> {
  const copy = archiveFolder(join(folder, 'copy'))
  if (!existsSync(join(folder, 'copy', 'archive.json'))) return
  const restored = outsideOf(await makeFolder())
  await restoreFrom(copy, restored, clerk, 'copy')
  const archive = await openArchive(restored)
  expect(await auditArchive(archive, freshRegister)).toMatchObject({ logFaults: [], registerFaults: [] })
  await closeArchive(archive)
}

test(`after ${lanes * kills} kills nothing acknowledged is lost, and all of it agrees`, async () => {
  const results = await Promise.all(Array.from({ length: lanes }, (_, lane) => runLane(lane)))
  for (const { acknowledged } of results) expect(acknowledged).toBeGreaterThan(kills)
}, 900_000)
