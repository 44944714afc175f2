/** `witnessmark custody ACTION …` */
import { readFile, stat } from 'node:fs/promises'
import { archives, formatJson, renderEntries } from '../src/index.ts'
import { archiveFolder } from '../src/io/archive/folder.ts'
import { now } from '../src/io/clock.ts'
import { type Action, actorOptions, declareActions, runAction, sheetOptions } from './archive/action.ts'
import { lookOf, readActs, type SheetChoice } from './archive/look.ts'
import { type ActorOptions, inArchive, readActor } from './archive/place.ts'
import { deliver } from './deliver.ts'
import { writeNew, writeSecret } from './identity-file.ts'
import { type ExitStatus, exit, type Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

async function read(path: string): Promise<Uint8Array> {
  try {
    return await readFile(path)
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    const reason = code === 'ENOENT' ? 'does not exist' : code === 'EISDIR' ? 'is a folder' : `cannot be read (${code})`
    throw new UserError(`${path} ${reason}`, path, 'Name a file that you may read.')
  }
}

/** Says of a file whose text is not what it should be in which file that is. */
async function inNote<Result>(path: string, work: () => Result | Promise<Result>): Promise<Result> {
  try {
    return await work()
  } catch (error) {
    if (!(error instanceof archives.NoteError)) throw error
    throw new UserError(
      `${path}: ${error.message}`,
      path,
      'Give the file as it was handed over, and the key of that log.',
    )
  }
}

/** A verifier key as it is written, or a file that holds one. */
async function readKey(text: string): Promise<archives.NoteKey> {
  const held = await readFile(text, 'utf8').catch(() => null)
  try {
    return archives.parseKey(held ?? text)
  } catch (error) {
    if (!(error instanceof archives.NoteError)) throw error
    throw new UserError(
      held === null
        ? `"${text}" is no verifier key, nor a file that holds one: ${error.message}`
        : `${text}: ${error.message}`,
      held === null ? null : text,
      'Copy the key whole, NAME+ID+KEY, as "archive init" or "custody witness" printed it, or name a file that holds it.',
    )
  }
}

async function log([folder = '', accession]: readonly string[], options: SheetChoice, terminal: Terminal) {
  const look = lookOf(options, terminal)
  const entries = await inArchive(folder, async (archive) => {
    if (accession !== undefined) return readKnownActs(archive, accession)
    const all: archives.LoggedEntry[] = []
    for await (const logged of archives.history(archive)) all.push(logged)
    return all
  })
  await deliver(options.json ? formatJson(entries) : renderEntries(entries, look), options.output, terminal)
  return exit.fine
}

async function readKnownActs(archive: archives.Archive, accession: string): Promise<archives.LoggedEntry[]> {
  const acts = await readActs(archive, accession)
  if (acts.length > 0) return acts
  throw new UserError(`the archive has no packet ${accession}`, null, 'See "witnessmark archive list".')
}

async function checkpoint(folder: string, { output }: { output?: string }, terminal: Terminal): Promise<ExitStatus> {
  const note = await inArchive(
    folder,
    async ({ outside, key }) => (await archives.openLog(outside.storage.log, key)).note,
  )
  await deliver(note, output, terminal)
  return exit.fine
}

async function prove([folder = '', text = '']: readonly string[], { output }: { output?: string }, terminal: Terminal) {
  if (output === undefined)
    throw new UserError(
      'a proof needs a file',
      null,
      'Write --output FILE: FILE gets the entry, FILE.tlog-proof its proof.',
    )
  if (!/^\d{1,15}$/.test(text))
    throw new UserError(`${text} is no number of an entry`, null, 'See "witnessmark custody log".')
  const { entry, proof, key } = await inArchive(folder, async ({ outside, key: own }) => {
    const head = await archives.openLog(outside.storage.log, own)
    if (Number(text) >= head.size)
      throw new UserError(
        `the log has ${head.size} entries, and none of number ${text}`,
        null,
        'See "witnessmark custody log".',
      )
    const bytes = await archives.entryBytes(outside.storage.log, head, Number(text))
    return { entry: bytes, proof: await archives.proveEntry(outside.storage.log, head, Number(text)), key: own }
  })
  await writeNew(output, entry)
  await writeNew(`${output}.tlog-proof`, archives.formatProof(proof))
  await terminal.print(
    `Entry ${text} is in ${output}, its proof in ${output}.tlog-proof. Whoever knows the key of the log verifies them:\n  witnessmark custody verify ${output} --log-key ${archives.formatKey(key)}\n`,
  )
  return exit.fine
}

interface VerifyOptions {
  'log-key'?: string
  witness?: string
  since?: string
}

/** Verifies an entry with its proof, or a log against a checkpoint that was kept. */
async function verify(path: string, options: VerifyOptions, terminal: Terminal): Promise<ExitStatus> {
  if (options['log-key'] === undefined)
    throw new UserError(
      'a proof holds for whoever knows the key of the log',
      null,
      'Write --log-key KEY, as "archive init" printed it: from whoever keeps the archive, not from the archive.',
    )
  const isFolder = await holdToThere(path)
  if (isFolder !== (options.since !== undefined))
    throw new UserError(
      isFolder ? `${path} is a folder: a log is verified by a checkpoint of it` : `${path} is a file, and no log`,
      path,
      isFolder
        ? 'Write --since FILE, a checkpoint that was kept ("custody checkpoint"); or name the file of one entry.'
        : 'With --since, name the folder of an archive or of a log; an entry is verified without --since.',
    )
  const key = await readKey(options['log-key'])
  const witnesses = options.witness === undefined ? [] : [await readKey(options.witness)]
  return options.since === undefined
    ? verifyEntry(path, key, witnesses, terminal)
    : verifyContinuation(path, options.since, key, witnesses, terminal)
}

/** Whether a folder stands at `path`. Throws UserError where nothing does. */
async function holdToThere(path: string): Promise<boolean> {
  const found = await stat(path).catch(() => null)
  if (found !== null) return found.isDirectory()
  throw new UserError(
    `${path} does not exist`,
    path,
    'Name the file of an entry, or the folder of an archive or of a log.',
  )
}

async function verifyEntry(
  path: string,
  key: archives.NoteKey,
  witnesses: readonly archives.NoteKey[],
  terminal: Terminal,
): Promise<ExitStatus> {
  const entry = await read(path)
  const bytes = await read(`${path}.tlog-proof`)
  try {
    const { checkpoint: head, index, signed } = archives.verifyProof(entry, archives.parseProof(bytes), key, witnesses)
    await terminal.print(
      `PASS  ${path} is entry ${index} of the log ${head.origin}, which then had ${head.size} entries.\n`,
    )
    await tellWitnesses(signed, witnesses, terminal)
    return exit.fine
  } catch (error) {
    if (!(error instanceof archives.NoteError)) throw error
    await terminal.print(`FAIL  ${error.message}.\n`)
    return exit.fails
  }
}

async function tellWitnesses(
  signed: readonly { key: archives.NoteKey; time: number | null }[],
  witnesses: readonly archives.NoteKey[],
  terminal: Terminal,
): Promise<void> {
  for (const { key, time } of signed)
    if (time !== null)
      await terminal.print(
        `      The witness ${key.name} saw it on ${new Date(time * 1000).toISOString().slice(0, 19)}Z.\n`,
      )
  for (const { name } of witnesses)
    if (!signed.some(({ key }) => key.name === name))
      await terminal.print(`      The witness ${name} has not signed it.\n`)
}

/** `path` is the folder of an archive, of a copy, or of a log that was exported; `since` a checkpoint of it that somebody kept. */
async function verifyContinuation(
  path: string,
  since: string,
  key: archives.NoteKey,
  witnesses: readonly archives.NoteKey[],
  terminal: Terminal,
): Promise<ExitStatus> {
  const storage = archiveFolder(path).log
  const kept = await inNote(since, async () => archives.readHead(await read(since), key, witnesses))
  try {
    const head = await archives.openLog(storage, key, witnesses)
    const continues =
      kept.size <= head.size &&
      archives.verifyConsistency(
        kept.size,
        head.size,
        await archives.proveContinuation(storage, head, kept.size),
        kept.root,
        head.root,
      )
    const { faults } = await archives.auditLog(storage, head)
    const verdict = continues && faults.length === 0
    await terminal.print(
      `${verdict ? 'PASS' : 'FAIL'}  The log of ${head.size} entries ${continues ? 'continues' : 'does not continue'} the one of ${kept.size} that ${since} is of.\n`,
    )
    for (const fault of faults) await terminal.print(`      ${fault}\n`)
    await tellWitnesses(head.signed, witnesses, terminal)
    return verdict ? exit.fine : exit.fails
  } catch (error) {
    if (!(error instanceof archives.NoteError || error instanceof archives.LogError)) throw error
    await terminal.print(`FAIL  ${error.message}.\n`)
    return exit.fails
  }
}

/** A key for whoever watches a log without keeping it. */
async function newWitness(path: string, { name }: { name?: string }, terminal: Terminal): Promise<ExitStatus> {
  if (name === undefined || /[\s+]/u.test(name))
    throw new UserError(
      'a witness needs a name',
      null,
      'Write --name NAME, such as witness.example/north: no spaces, no plus.',
    )
  const { pem, key } = archives.createWitness(name)
  await writeSecret(path, Buffer.from(pem))
  await terminal.print(
    `${path} holds the witness's private key. Its verifier key, for "custody trust":\n  ${archives.formatKey(key)}\n`,
  )
  return exit.fine
}

async function trust([folder = '', text = '']: readonly string[], options: ActorOptions, terminal: Terminal) {
  const actor = readActor(options, terminal)
  const key = await readKey(text)
  if (key.type !== 4)
    throw new UserError(`${key.name} is no key of a witness`, null, 'Give the key that "custody witness" printed.')
  await inArchive(folder, (archive) =>
    archives.act(archive, actor, async () => ({
      entries: [{ act: 'witness-named', key: archives.formatKey(key) }],
      result: undefined,
    })),
  )
  await terminal.print(`Cosignatures of ${key.name} count from here on.\n`)
  return exit.fine
}

interface CosignOptions {
  name?: string
  'witness-key'?: string
  since?: string
}

/** Signs that the log continues the last state that this witness saw. */
async function cosign(folder: string, options: CosignOptions, terminal: Terminal): Promise<ExitStatus> {
  const { name, since } = options
  const file = options['witness-key']
  if (file === undefined || name === undefined)
    throw new UserError('a witness signs with a key of its own', null, 'Write --witness-key FILE --name NAME.')
  const signer = archives.openWitness(name, await read(file))
  const kept = since === undefined ? null : await read(since)
  const note = await inArchive(folder, (archive) => archives.cosign(archive, signer, kept, now()))
  if (since !== undefined) await deliver(note, since, terminal)
  const { size } = archives.parseCheckpoint(archives.parseNote(note).text)
  await terminal.print(
    `${name} signed that the log has ${size} entries${kept === null ? '' : ' and continues the one it saw last'}.\n`,
  )
  if (since === undefined)
    await terminal.print('Keep the checkpoint ("custody checkpoint"), and give it as --since the next time.\n')
  return exit.fine
}

const output = { type: 'string', value: 'FILE', help: 'The file to write.' } as const
const since = { type: 'string', value: 'FILE', help: 'A checkpoint that was kept: the log must continue it.' } as const
const nameOption = { type: 'string', value: 'NAME', help: 'How the witness is called: witness.example/north.' } as const

const actions: Readonly<Record<string, Action>> = {
  log: {
    operands: 'ARCHIVE [NUMBER]',
    least: 1,
    most: 2,
    summary: 'what was done, by whom, when and why: with all packets, or with one',
    options: sheetOptions,
    run: (operands, options, terminal) => log(operands, options, terminal),
  },
  checkpoint: {
    operands: 'ARCHIVE',
    least: 1,
    most: 1,
    summary: 'the signed state of the log, to be kept elsewhere',
    options: { output },
    run: ([folder = ''], options, terminal) => checkpoint(folder, options, terminal),
  },
  prove: {
    operands: 'ARCHIVE ENTRY --output FILE',
    least: 2,
    most: 2,
    summary: 'an entry and the proof that it stands in the log',
    options: { output },
    run: (operands, options, terminal) => prove(operands, options, terminal),
  },
  verify: {
    operands: 'FILE|ARCHIVE --log-key KEY',
    least: 1,
    most: 1,
    summary: 'an entry by its proof; or, with --since, a log by a checkpoint that was kept',
    options: {
      'log-key': { type: 'string', value: 'KEY', help: 'The verifier key of the log, or a file that holds it.' },
      witness: { type: 'string', value: 'KEY', help: 'The verifier key of a witness, or a file that holds it.' },
      since,
    },
    run: ([path = ''], options, terminal) => verify(path, options, terminal),
  },
  witness: {
    operands: 'FILE --name NAME',
    least: 1,
    most: 1,
    summary: 'make a key for somebody who watches the log',
    options: { name: nameOption },
    run: ([path = ''], options, terminal) => newWitness(path, options, terminal),
  },
  trust: {
    operands: 'ARCHIVE KEY',
    least: 2,
    most: 2,
    summary: 'let the cosignatures of a witness count',
    options: actorOptions,
    run: (operands, options, terminal) => trust(operands, options, terminal),
  },
  cosign: {
    operands: 'ARCHIVE --witness-key FILE --name NAME',
    least: 1,
    most: 1,
    summary: 'as a witness: sign that the log continues the state seen last',
    options: {
      'witness-key': { type: 'string', value: 'FILE', help: 'The private key, as "custody witness" makes it.' },
      name: nameOption,
      since: { ...since, help: 'The checkpoint that was seen last; it is replaced by the new one.' },
    },
    run: ([folder = ''], options, terminal) => cosign(folder, options, terminal),
  },
}

export const custodyCommand = declareActions(
  'custody',
  'Prove what was done with packets: the custody log of an archive, its proofs and its witnesses.',
  actions,
  [
    'Every act is a leaf of a Merkle tree (RFC 9162); its state is signed (C2SP checkpoints). Rewriting, dropping or reordering\nany entry is seen by whoever kept a checkpoint, and by any witness.',
    'Exit status: 0 when it was done and holds; 1 when it does not hold; 2 when it was not done.',
  ],
)

export const runCustody = (
  operands: readonly string[],
  options: Record<string, string | true>,
  terminal: Terminal,
): Promise<ExitStatus> => runAction('custody', actions, operands, options, terminal)
