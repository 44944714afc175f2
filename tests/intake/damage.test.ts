/** Every single-byte damage to a zip, and every place where it may be cut off. */
import { describe, expect, it } from 'vitest'
import { IntakeError } from '../../src/intake/errors.ts'
import type { IntakePacket } from '../../src/intake/evidence.ts'
import { openPacket } from '../../src/intake/open.ts'
import type { Storage } from '../../src/intake/storage.ts'
import { craftZip } from './craft-zip.ts'

/** A storage that holds one file. */
function holding(data: Uint8Array): Storage {
  const sight = { kind: 'file' as const, bytes: data.length, identity: 'only' }
  return {
    look: async (path) => ({ ...sight, path }),
    list: async () => [],
    open: async () => ({
      bytes: data.length,
      read: async (target, position) => {
        const piece = data.subarray(position, position + target.length)
        target.set(piece)
        return piece.length
      },
      close: async () => {},
    }),
  }
}

const speeds = Array.from({ length: 60 }, (_, second) => `${second},${(second * 7) % 13}\n`).join('')
const zip = craftZip({
  entries: [
    { name: 'scan.txt', data: 'C1A67 in front radar\n' },
    { name: 'drive/', mode: 0o040755 },
    { name: 'drive/log.csv', data: speeds, method: 8 },
    { name: 'later.txt', data: 'no codes\n', method: 8, descriptor: true },
    { name: 'packet.yaml', data: 'packet: 1\n' },
  ],
})
const open = (bytes: Uint8Array) => openPacket(holding(bytes), 'job.zip')
const taken = (packet: IntakePacket) =>
  [...packet.files, ...(packet.declaration ? [packet.declaration] : [])].map(({ path, sha256 }) => `${sha256} ${path}`)

describe('a damaged zip', () => {
  it('never gives other evidence: each changed byte is refused, noted, or without meaning', {
    timeout: 60_000,
  }, async () => {
    const whole = taken(await open(zip))
    const tally = { refused: 0, noted: 0, meaningless: 0 }
    for (let at = 0; at < zip.length; at += 1) {
      for (const mask of [0xff, 0x01]) {
        const damaged = Uint8Array.from(zip)
        damaged[at] = (damaged[at] ?? 0) ^ mask
        const packet = await open(damaged).catch((error: unknown) => {
          expect(error).toBeInstanceOf(IntakeError)
          return null
        })
        if (packet === null) tally.refused += 1
        else if (packet.problems.length > 0) tally.noted += 1
        else {
          tally.meaningless += 1
          expect(taken(packet)).toEqual(whole)
        }
        if (packet) expect(whole).toEqual(expect.arrayContaining(taken(packet)))
      }
    }
    expect(tally.refused).toBeGreaterThan(zip.length)
    expect(tally.noted).toBeGreaterThan(100)
  })

  it('is refused wherever it is cut off', { timeout: 60_000 }, async () => {
    for (let length = 1; length < zip.length; length += 1) {
      await expect(open(zip.subarray(0, length))).rejects.toBeInstanceOf(IntakeError)
    }
  })
})
