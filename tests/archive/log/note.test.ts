/** Signed notes, checkpoints and cosignatures against those that the C2SP texts and other programs publish. */
import { createPrivateKey, generateKeyPairSync } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { formatCheckpoint, parseCheckpoint } from '../../../src/archive/log/checkpoint.ts'
import {
  formatKey,
  formatNote,
  makeSigner,
  NoteError,
  parseKey,
  parseNote,
  signText,
  verifyNote,
} from '../../../src/archive/log/note.ts'

const bytes = (text: string) => new Uint8Array(Buffer.from(text, 'utf8'))

/** C2SP signed-note, "Verifier keys" and its example. */
const exampleKey = 'example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k'
const exampleNote =
  'This is an example message.\n\n— example.com/foo Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM=\n'

/** Documentation of golang.org/x/mod/sumdb/note: a private key, and what it signs. */
const documentedSeed = Buffer.from('AYEKFALVFGyNhPJEMzD1QIDr+Y7hfZx09iUvxdXHKDFz', 'base64').subarray(1)
const documentedKey = 'PeterNeumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW'
const documentedText =
  "If you think cryptography is the answer to your problem,\nthen you don't know what your problem is.\n"
const documentedNote = `${documentedText}\n— PeterNeumann x08go/ZJkuBS9UG/SffcvIAQxVBtiFupLLr8pAcElZInNIuGUgYN1FFYC2pZSNXgKvqfqdngotpRZb6KE6RyyBwJnAM=\n`

/** The checkpoint of a public log on 2024-09-23, as the tests of transparency-dev/formats hold it. */
const publicKey = 'sum.golang.org+033de0ae+Ac4zctda0e5eza+HJyk9SxEdh+s3Ux18htTTAD8OuAn8'
const publicCheckpoint =
  'go.sum database tree\n30055305\nmXfgRcJ0bG0j3CPdKwgGWtUzBUbX67saZGRmFuJGGsM=\n\n— sum.golang.org Az3grpgEild5qw7+5dtV13Kf1C2Xurm8q4fhdxvcsDHnqNTaxL2AFjBY+2TyGKevucFcAAlWFJJYle3EJlDCrQ+y3A8=\n'

/** A checkpoint of a public test log with witnesses' cosignatures, as the tests of another program of C2SP tlogs hold it. */
const logKey = 'arche2025h1.staging.ct.transparency.dev+ba2f06c0+AU0vHmlGCS/PdN8b2OaGmKprLI8HKM+dJ472xgFYh15f'
const witnessKey = 'remora.n621.de+da77ade7+BOvN63jn/bLvkieywe8R6UYAtVtNbZpXh34x7onlmtw2'
const cosigned = `arche2025h1.staging.ct.transparency.dev
1432088532
U7WM79jrzyhGZ5/GUBTpM7NzwdyfFx61t3RovgcC4Ro=

— arche2025h1.staging.ct.transparency.dev zTM8sQAAAZ5W0WdjBAMARjBEAiBjW5IQf9pvsYLfQFX6hoGREPMHbdQ3urbllzalApkptQIgIpwtEroeW2BXaHAI4kJXFbon5Ch9MNL5zRNZ55lvGt0=
— arche2025h1.staging.ct.transparency.dev ui8GwCF1+kWqZrxGdhj4aX3gcw7XUlXQQabg/27lefwhUkzbC3NygNI75MdhL1bfTW9g8Ei59RA23oHP7Ry1k3ZFWwQ=
— transparency.dev/DEV:witness-little-garden 2AQqhwAAAABqEiEgzgFIqqhbUoDwjMWE6UP8nd8/KYTzwZ2rhIgcqoXHAwVkjZr4AscylP3v7sEodkRAErumC2q44vdgJY096st5BQ==
— remora.n621.de 2net5wAAAABqEiEgPlfF3V06o0Y+fHM+J5J9s27wgxxcOVSpZ/2g/KSiXCg9DEZI+aVCIobWX9sXTynk5XeU/zZ0WBxtqB0DrAWfBw==
`

/** RFC 8410: an Ed25519 private key of 32 bytes as PKCS#8. */
const privateKeyOf = (seed: Uint8Array) =>
  createPrivateKey({
    key: Buffer.concat([Buffer.from('302e020100300506032b657004220420', 'hex'), seed]),
    format: 'der',
    type: 'pkcs8',
  })

describe('keys', () => {
  test.each([exampleKey, documentedKey, publicKey, logKey, witnessKey])('%s is read and written back', (text) => {
    expect(formatKey(parseKey(text))).toBe(text)
  })

  test.each([
    ['another ID', exampleKey.replace('530d903a', '530d903b'), 'its ID is 530d903a'],
    ['another name', exampleKey.replace('foo', 'fop'), 'is damaged'],
    ['a type that is not known', 'a+00000000+AukyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k', 'no verifier key'],
    ['no key', 'example.com/foo', 'no verifier key'],
  ])('with %s are refused', (_, text, said) => {
    expect(() => parseKey(text)).toThrow(said)
  })
})

describe('notes of others', () => {
  test.each([
    ['the example of C2SP signed-note', exampleNote, exampleKey],
    ['the documented note of sumdb/note', documentedNote, documentedKey],
    ['the checkpoint of a public log', publicCheckpoint, publicKey],
  ])('%s holds, and is written back byte for byte', (_, text, key) => {
    const note = parseNote(bytes(text))
    expect(verifyNote(note, [parseKey(key)])).toMatchObject([{ key: { name: parseKey(key).name }, time: null }])
    expect(Buffer.from(formatNote(note)).toString()).toBe(text)
  })

  test('a cosignature of a witness holds, with the time that it states', () => {
    const note = parseNote(bytes(cosigned))
    expect(verifyNote(note, [parseKey(logKey), parseKey(witnessKey)])).toMatchObject([
      { key: { type: 1 }, time: null },
      { key: { name: 'remora.n621.de', type: 4 }, time: 0x6a122120 },
    ])
    expect(parseCheckpoint(note.text)).toMatchObject({ size: 1432088532 })
    expect(formatCheckpoint(parseCheckpoint(note.text))).toBe(note.text)
  })

  test('the documented private key signs the documented note, byte for byte', () => {
    const signer = makeSigner('PeterNeumann', 1, privateKeyOf(documentedSeed))
    expect(formatKey(signer.key)).toBe(documentedKey)
    const note = formatNote({ text: documentedText, lines: [signText(documentedText, signer)] })
    expect(Buffer.from(note).toString()).toBe(documentedNote)
  })

  test('no byte of them can be changed', () => {
    const keys = [parseKey(exampleKey)]
    for (let at = 0; at < bytes(exampleNote).length; at++)
      for (const bit of [1, 4, 32, 128]) {
        const bent = bytes(exampleNote)
        bent[at] = (bent[at] ?? 0) ^ bit
        const read = () => {
          const signed = verifyNote(parseNote(bent), keys)
          // A line whose name or ID was changed is that of a stranger.
          if (signed.length === 0) throw new NoteError('nobody whom we know')
        }
        expect(read, `byte ${at}, bit ${bit}`).toThrow(NoteError)
      }
  })
})

describe('our own', () => {
  const { privateKey } = generateKeyPairSync('ed25519')

  test('a witness states when, and another time does not hold', () => {
    const witness = makeSigner('witness.example/north', 4, privateKey)
    const text = 'log.example/bay\n0\n47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=\n'
    const line = signText(text, witness, 1_790_000_000)
    expect(verifyNote({ text, lines: [line] }, [witness.key])).toMatchObject([{ time: 1_790_000_000 }])
    const later = Uint8Array.from(line.signature)
    later[7] = (later[7] ?? 0) + 1
    expect(() => verifyNote({ text, lines: [{ ...line, signature: later }] }, [witness.key])).toThrow('does not hold')
    expect(() => signText(text, witness)).toThrow('A witness states the time')
  })

  test.each([['a text without its last newline', 'a', 'ends in a newline']])('%s is not signed', (_, text, said) => {
    expect(() => signText(text, makeSigner('a', 1, privateKey))).toThrow(said)
  })

  test.each(['', 'a b', 'a+b', 'a\u00a0b'])('a key cannot be named %j', (name) => {
    expect(() => makeSigner(name, 1, privateKey)).toThrow('cannot name a key')
  })

  test('another kind of key does not sign', () => {
    const { privateKey: other } = generateKeyPairSync('ec', { namedCurve: 'P-256' })
    expect(() => makeSigner('a', 1, other)).toThrow('Ed25519')
  })

  test.each([
    ['no origin', '\n1\nmXfgRcJ0bG0j3CPdKwgGWtUzBUbX67saZGRmFuJGGsM=\n'],
    ['a size with a zero before it', 'a\n01\nmXfgRcJ0bG0j3CPdKwgGWtUzBUbX67saZGRmFuJGGsM=\n'],
    ['a root that is too short', 'a\n1\nmXfg\n'],
    ['an empty line', 'a\n1\nmXfgRcJ0bG0j3CPdKwgGWtUzBUbX67saZGRmFuJGGsM=\n\nb\n'],
    ['no last newline', 'a\n1\nmXfgRcJ0bG0j3CPdKwgGWtUzBUbX67saZGRmFuJGGsM='],
  ])('a text with %s is no checkpoint', (_, text) => {
    expect(() => parseCheckpoint(text)).toThrow('This is no checkpoint')
  })
})
