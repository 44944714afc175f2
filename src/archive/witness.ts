/** Witnesses: people elsewhere who sign that the log continues the state that they saw last (C2SP tlog-cosignature). */
import { createPrivateKey, generateKeyPairSync } from 'node:crypto'
import { type Archive, act } from './archive.ts'
import { ArchiveError } from './archive-error.ts'
import { addCosignature, openLog, proveContinuation, readHead } from './log/log.ts'
import { verifyConsistency } from './log/merkle.ts'
import { makeSigner, type NoteKey, type NoteSigner, parseKey, parseNote, signText } from './log/note.ts'

/** A new key for a witness: PEM (PKCS#8) for its own eyes, and the verifier key for everybody's. Throws NoteError for a bad name. */
export function createWitness(name: string): { pem: string; key: NoteKey } {
  const { privateKey } = generateKeyPairSync('ed25519')
  const { key } = makeSigner(name, 4, privateKey)
  return { pem: privateKey.export({ format: 'pem', type: 'pkcs8' }).toString(), key }
}

/** Throws ArchiveError for a file that holds no such key. */
export function openWitness(name: string, pem: Uint8Array): NoteSigner {
  try {
    return makeSigner(name, 4, createPrivateKey(Buffer.from(pem)))
  } catch (error) {
    throw new ArchiveError(
      'unknown',
      'The file holds no private key of a witness',
      'Give the file that "custody witness" made.',
      {
        cause: error,
      },
    )
  }
}

/** Witnesses whose cosignatures count in this archive. */
export async function listWitnesses({ db }: Pick<Archive, 'db'>): Promise<NoteKey[]> {
  const rows = await db.selectFrom('witnesses').select('key').orderBy('idx').execute()
  return rows.map(({ key }) => parseKey(key))
}

/**
 * Adds a witness's signature to the checkpoint, and gives the checkpoint. `last`: the one that it signed or saw last, which
 * the log must continue. Throws ArchiveError `damaged` where it does not, `unknown` for a witness who was not named.
 */
export async function cosign(
  archive: Archive,
  witness: NoteSigner,
  last: Uint8Array | null,
  time: Date,
): Promise<Uint8Array> {
  const { log } = archive.outside.storage
  const known = await listWitnesses(archive)
  if (!known.some(({ name, id }) => name === witness.key.name && id === witness.key.id))
    throw new ArchiveError(
      'unknown',
      `${witness.key.name} is no witness of this archive`,
      'Let its verifier key be named with "witnessmark custody trust".',
    )
  return act(archive, { by: { name: witness.key.name } }, async () => {
    const head = await openLog(log, archive.key)
    const seen = last === null ? null : readHead(last, archive.key)
    const continues =
      seen === null ||
      (seen.size <= head.size &&
        verifyConsistency(seen.size, head.size, await proveContinuation(log, head, seen.size), seen.root, head.root))
    if (!continues)
      throw new ArchiveError(
        'damaged',
        `The log of ${head.size} entries does not continue the one of ${seen?.size} that this witness saw`,
        'Sign nothing. Keep the checkpoint that you have: it proves that the log was rewritten.',
      )
    const { text } = parseNote(head.note)
    await addCosignature(log, head, signText(text, witness, Math.floor(time.getTime() / 1000)))
    return { entries: [], result: (await openLog(log, archive.key)).note }
  })
}
