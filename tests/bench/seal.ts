/** Sealing and verifying a large packet, beside OpenSSL's digests over the same bytes. */
import { execFileSync, spawnSync } from 'node:child_process'
import { createCipheriv } from 'node:crypto'
import { closeSync, mkdirSync, openSync, rmSync, writeFileSync, writeSync } from 'node:fs'
import { join } from 'node:path'
import { root } from '../source-file.ts'
import { measurePeaks, type Peaks } from './memory.ts'
import { type Contest, contest } from './timing.ts'

const program = join(root, 'cli', 'main.ts')
const MiB = 1024 * 1024

export interface SealFigures {
  seal: Contest
  verify: Contest
  sealPeaks: Peaks
  verifyPeaks: Peaks
}

/** A packet of `files` videos of `bytes` each: bytes of a stream cipher, which nothing can compress or read. */
function writePacket(folder: string, files: number, bytes: number): string[] {
  mkdirSync(folder)
  const cipher = createCipheriv('aes-256-ctr', Buffer.alloc(32, 7), Buffer.alloc(16))
  return Array.from({ length: files }, (_, index) => {
    const path = join(folder, `drive ${index + 1}.mkv`)
    const file = openSync(path, 'wx')
    for (let written = 0; written < bytes; written += MiB) writeSync(file, cipher.update(Buffer.alloc(MiB)))
    closeSync(file)
    return path
  })
}

function run(words: readonly string[]): void {
  const { status, stderr } = spawnSync(process.execPath, [program, ...words], { encoding: 'utf8' })
  if (status !== 0 && status !== 1) throw new Error(`witnessmark ${words[0]} ended with status ${status}: ${stderr}`)
}

/** The whole commands over 1 GiB, against `openssl dgst -sha256` and `-sha512` over the payload. */
export async function measureSeal(scratch: string, rounds: number): Promise<SealFigures> {
  const packet = join(scratch, 'packet')
  const files = writePacket(packet, 8, 128 * MiB)
  const [identity, passphrase, bag] = ['desk.p12', 'passphrase', 'bag'].map((name) => join(scratch, name)) as [
    string,
    string,
    string,
  ]
  writeFileSync(passphrase, 'quillwort overtone gable 71', { mode: 0o600 })
  const opening = ['--passphrase-file', passphrase]
  run(['identity', 'create', identity, '--name', 'Records desk', '--kind', 'ecdsa-p256', ...opening])
  const sealing = ['seal', packet, '--identity', identity, ...opening, '--output', bag, '--as-of', '2026-11-25']
  const digest = () => {
    for (const name of ['-sha256', '-sha512']) execFileSync('openssl', ['dgst', name, ...files], { stdio: 'ignore' })
  }
  const seal = await contest(
    () => {
      rmSync(bag, { recursive: true, force: true })
      run(sealing)
    },
    digest,
    rounds,
  )
  const verify = await contest(() => run(['verify', bag]), digest, rounds)
  const verifyPeaks = await measurePeaks([program, 'verify', bag])
  rmSync(bag, { recursive: true })
  const sealPeaks = await measurePeaks([program, ...sealing])
  return { seal, verify, sealPeaks, verifyPeaks }
}
