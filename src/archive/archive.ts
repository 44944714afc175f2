/**
 * An archive: objects by their digests, a custody log that says what was done with them, and a register made from both.
 *
 * An act is done in one order, whatever happens in between: its contents are on the disk first; then its entries are
 * appended to the log, by which it is done; then the register follows. What died after the log was written is caught up
 * when the archive is opened next. One writer at a time: whoever writes holds the register's lock from before it reads.
 */
import { createHash, createPrivateKey, generateKeyPairSync } from 'node:crypto'
import { type Dialect, Kysely } from 'kysely'
import { Migrator } from 'kysely/migration'
import { ArchiveError } from './archive-error.ts'
import {
  type Entry,
  formatEntry,
  isOfLaterVersion,
  type LoggedEntry,
  type NewEntry,
  type Person,
  parseEntry,
} from './entry.ts'
import {
  appendEntries,
  beginLog,
  checkpointPath,
  type Head,
  LogError,
  openLog,
  readEntries,
  readSome,
  rootAt,
} from './log/log.ts'
import { emptyRoot } from './log/merkle.ts'
import { formatKey, makeSigner, NoteError, type NoteKey, type NoteSigner, parseKey } from './log/note.ts'
import { applyEntry, type Writing } from './register/project.ts'
import { makeAnew } from './register/renew.ts'
import { migrations, type Register, registerVersion } from './register/tables.ts'
import type { ArchiveStorage } from './storage.ts'
import { type Trouble, tellingStorage, tellLogged, tellTrouble } from './trouble.ts'

/** What an archive needs of the world outside. */
export interface ArchiveOutside {
  storage: ArchiveStorage
  /** Opens the register, which is made where there is none. */
  register(): Dialect
  now(): Date
  pause(milliseconds: number): Promise<void>
  /** What an error of the register or the file system says; null for one that says something else. */
  troubleOf(error: unknown): Trouble | null
}

/** What stands in `archive.json`. */
interface Description {
  archive: 1
  /** Name of the log. */
  origin: string
  /** Its verifier key. */
  key: string
}

export interface Archive {
  outside: ArchiveOutside
  db: Kysely<Register>
  key: NoteKey
  signer: NoteSigner
  /** Acts of this process wait for each other here. */
  turn: Promise<unknown>
}

const [descriptionFile, keyFile] = ['archive.json', 'log-key.pem']

/** Whoever acts, and why. */
export interface Actor {
  by: Person
  why?: string
  authority?: string
}

/**
 * Begins an archive in an empty place. `origin` names its log: a host and path of one's own, such as `archive.example/bay`.
 * One whose beginning was interrupted is begun again. Throws ArchiveError `not-empty` where something else stands there.
 */
export async function initArchive(outside: ArchiveOutside, origin: string, actor: Actor): Promise<Archive> {
  const storage = tellingStorage(outside)
  const stands = (await storage.readFile(descriptionFile)) !== null
  if (stands && (await openLog(storage.log, (await readDescription(storage)).key)).size > 0)
    throw new ArchiveError('not-empty', 'An archive stands here already', 'Use it, or name an empty folder.')
  await holdToEmpty(storage)
  const signer = await beginKey(storage, origin)
  if ((await storage.log.read(checkpointPath)) === null) await beginLog(storage.log, signer)
  else if ((await openLog(storage.log, signer.key)).size > 0)
    throw damaged(`A log stands here without its ${descriptionFile}`, null)
  const description: Description = { archive: 1, origin, key: formatKey(signer.key) }
  await storage.writeFile(descriptionFile, Buffer.from(`${JSON.stringify(description, null, 2)}\n`))
  const archive = await openArchive(outside)
  await act(archive, actor, async () => ({
    entries: [{ act: 'begun', origin, key: description.key }],
    result: undefined,
  }))
  return archive
}

/** An archive has a folder of its own. Throws ArchiveError `not-empty` where other things stand in it. */
export async function holdToEmpty(storage: ArchiveStorage): Promise<void> {
  const [first, ...others] = await storage.strangers()
  if (first === undefined) return
  const more = others.length === 0 ? '' : ` and ${others.length} more`
  throw new ArchiveError(
    'not-empty',
    `Other things stand in ${storage.place}: ${first}${more}`,
    'Name an empty folder, or one that does not exist yet.',
  )
}

async function beginKey(storage: ArchiveStorage, origin: string): Promise<NoteSigner> {
  const held = await storage.readFile(keyFile)
  if (held !== null) return makeSigner(origin, 1, createPrivateKey(Buffer.from(held)))
  const { privateKey } = generateKeyPairSync('ed25519')
  const signer = makeSigner(origin, 1, privateKey)
  await storage.writeSecret(keyFile, Buffer.from(privateKey.export({ format: 'pem', type: 'pkcs8' })))
  return signer
}

/** Opens an archive; its register is made anew where it is lost or of an earlier version, and caught up where it lags. */
export async function openArchive(outside: ArchiveOutside): Promise<Archive> {
  const storage = tellingStorage(outside)
  const { key } = await readDescription(storage)
  const signer = await readSigner(storage, key)
  const db = await openRegister(outside)
  const archive: Archive = { outside: { ...outside, storage }, db, key, signer, turn: Promise.resolve() }
  try {
    await guard(archive, async () => {
      await migrate(db)
      const head = await openLog(outside.storage.log, key)
      const known = await db.selectFrom('state').select(['size', 'version']).executeTakeFirst()
      if (known?.size !== head.size || known.version !== registerVersion)
        await db.transaction().execute((writing) => catchUp(archive, writing))
    })
    return archive
  } catch (error) {
    await closeArchive(archive)
    throw error
  }
}

const openRegister = (outside: ArchiveOutside): Promise<Kysely<Register>> =>
  guard({ outside }, async () => new Kysely<Register>({ dialect: outside.register() }))

export const closeArchive = (archive: Archive): Promise<void> => archive.db.destroy()

async function readDescription(storage: ArchiveStorage): Promise<{ key: NoteKey }> {
  const bytes = await storage.readFile(descriptionFile)
  if (bytes === null)
    throw new ArchiveError(
      'no-archive',
      `There is no archive in ${storage.place}: no ${descriptionFile}`,
      'Name the folder of an archive, or begin one with "witnessmark archive init".',
    )
  try {
    const description = JSON.parse(Buffer.from(bytes).toString('utf8')) as Description
    if (description.archive > 1)
      throw new ArchiveError('newer', 'A newer witnessmark wrote this archive', 'Use that version.')
    return { key: parseKey(description.key) }
  } catch (error) {
    if (error instanceof ArchiveError) throw error
    throw damaged(`${descriptionFile} cannot be read`, error)
  }
}

async function readSigner(storage: ArchiveStorage, key: NoteKey): Promise<NoteSigner> {
  const pem = await storage.readFile(keyFile)
  if (pem === null) throw damaged(`${keyFile} is lost, so nothing can be added to the log`, null)
  const signer = makeSigner(key.name, 1, createPrivateKey(Buffer.from(pem)))
  if (signer.key.id !== key.id) throw damaged(`${keyFile} is not the key of this archive`, null)
  return signer
}

/** `archive repair-plan` tells what can be done. */
export const damaged = (message: string, cause: unknown): ArchiveError =>
  new ArchiveError(
    'damaged',
    message,
    'See "witnessmark archive verify" and "archive repair-plan"; restore it from a backup.',
    {
      cause,
    },
  )

/** Brings the tables of a register to this version's. */
export async function migrate(db: Kysely<Register>): Promise<void> {
  const migrator = new Migrator({ db, provider: { getMigrations: async () => migrations } })
  const { error } = await migrator.migrateToLatest()
  if (error === undefined) return
  if (error instanceof Error && /corrupted migrations/.test(error.message)) throw newerRegister()
  throw error
}

const newerRegister = (): ArchiveError =>
  new ArchiveError(
    'newer',
    'A newer witnessmark wrote this register',
    'Use that version, or remove register.sqlite: it is made again from the log.',
  )

/** Whole content of an object that is what its name says; null for any other. */
export async function readObject({ objects }: ArchiveStorage, sha256: string): Promise<Uint8Array | null> {
  if ((await objects.size(sha256)) === null) return null
  const [hash, pieces] = [createHash('sha256'), [] as Uint8Array[]]
  for await (const chunk of objects.chunks(sha256)) {
    hash.update(chunk)
    pieces.push(Uint8Array.from(chunk))
  }
  return hash.digest('hex') === sha256 ? Buffer.concat(pieces) : null
}

/** Keeps a content that is in memory. */
export const putObject = async ({ objects }: ArchiveStorage, bytes: Uint8Array): Promise<string> =>
  (await objects.put(once(bytes))).sha256

async function* once(bytes: Uint8Array): AsyncGenerator<Uint8Array> {
  yield bytes
}

/**
 * Brings the register to where the log is; one of an earlier version is made anew. Throws ArchiveError `damaged` where the log
 * is not the one that it followed, `newer` for a register of a later version.
 */
async function catchUp(archive: Archive, writing: Writing): Promise<Head> {
  const { storage } = archive.outside
  const head = await openLog(storage.log, archive.key)
  const state = await writing.selectFrom('state').select(['size', 'root', 'version']).executeTakeFirst()
  const { size, root, version } = state ?? {
    size: 0,
    root: Buffer.from(emptyRoot()).toString('hex'),
    version: registerVersion,
  }
  if (version > registerVersion) throw newerRegister()
  if (size > head.size) throw damaged(`The log has ${head.size} entries, and had ${size}: its end was taken away`, null)
  if (Buffer.from(await rootAt(storage.log, head, size)).toString('hex') !== root)
    throw damaged(`The first ${size} entries of the log are not those that the register was made from`, null)
  const bringInFrom = async (first: number) => {
    for await (const { index, entry } of readEntries(storage.log, head, first))
      await bringIn(archive, writing, { index, entry: parseOrThrow(index, entry) })
  }
  const isEarlier = version < registerVersion
  await (isEarlier ? makeAnew(writing, () => bringInFrom(0)) : bringInFrom(size))
  if (isEarlier || size < head.size) await noteState(writing, head)
  return head
}

function parseOrThrow(index: number, bytes: Uint8Array): Entry {
  const entry = parseEntry(bytes)
  if (entry !== null) return entry
  if (!isOfLaterVersion(bytes)) throw damaged(`Entry ${index} of the log is none that this version can read`, null)
  throw new ArchiveError(
    'newer',
    `Entry ${index} of the log was written by a newer version of witnessmark, which this one cannot follow. Nothing is lost, and nothing was written`,
    'Use that version, or a later one, for everything that is done with this archive from now on.',
  )
}

const bringIn = (archive: Archive, writing: Writing, logged: LoggedEntry): Promise<void> =>
  applyEntry(writing, logged, (sha256) => readObject(archive.outside.storage, sha256))

async function noteState(writing: Writing, { size, root }: Head): Promise<void> {
  const row = { id: 1 as const, size, root: Buffer.from(root).toString('hex'), version: registerVersion }
  await writing
    .insertInto('state')
    .values(row)
    .onConflict((it) => it.column('id').doUpdateSet(row))
    .execute()
}

/** What is to be logged, and what whoever acts is told. */
export interface Deed<Result> {
  /** `by`: whose act it is, where acts of several people are logged together. */
  entries: readonly (NewEntry & { by?: Person })[]
  result: Result
  /** Done when the entries stand in the log: what a process that dies before it leaves undone must be harmless. */
  after?(): Promise<void>
}

/**
 * Does one act: `decide` is asked with the register locked and caught up, and what it gives is logged, all or nothing. What
 * it throws ends the act, and nothing is logged. Throws ArchiveError `busy`, `full`, `read-only` or `damaged`; `unfinished`
 * where the log has the act and what follows it failed.
 */
export async function act<Result>(
  archive: Archive,
  actor: Actor,
  decide: (writing: Writing, at: string) => Promise<Deed<Result>>,
): Promise<Result> {
  const mine = archive.turn.then(() => guard(archive, () => actNow(archive, actor, decide)))
  archive.turn = mine.catch(() => undefined)
  return mine
}

async function actNow<Result>(
  archive: Archive,
  { by, why, authority }: Actor,
  decide: (writing: Writing, at: string) => Promise<Deed<Result>>,
): Promise<Result> {
  const { storage, now } = archive.outside
  let isLogged = false
  const transaction = archive.db.transaction().execute(async (writing) => {
    const head = await catchUp(archive, writing)
    const at = `${now().toISOString().slice(0, 19)}Z`
    const deed = await decide(writing, at)
    const common = { entry: 1, at, by, ...(why ? { why } : {}), ...(authority ? { authority } : {}) } as const
    const entries = deed.entries.map((own) => ({ ...common, ...own }) as Entry)
    try {
      const next = await appendEntries(storage.log, archive.signer, head, entries.map(formatEntry))
      for (const [at, entry] of entries.entries()) await bringIn(archive, writing, { index: head.size + at, entry })
      await noteState(writing, next)
      await deed.after?.()
    } finally {
      // A write that failed may have come as far as the checkpoint.
      isLogged = entries.length > 0 && (await openLog(storage.log, archive.key)).size > head.size
    }
    return deed.result
  })
  return transaction.catch((error) => {
    throw isLogged ? tellLogged(storage.place, error) : error
  })
}

/** How often, and how many milliseconds after, a writer tries again that found another at work: ten seconds in all. */
const [mostTries, pauseBetween] = [400, 25]

/**
 * Waits for whoever else writes, which is found out before anything is done, and puts what the system and the log throw
 * into words that a person can act on.
 */
export async function guard<Result>(
  { outside }: Pick<Archive, 'outside'>,
  work: () => Promise<Result>,
  tries = 1,
): Promise<Result> {
  try {
    return await work()
  } catch (error) {
    const trouble = outside.troubleOf(error)
    if (trouble === 'busy' && tries < mostTries) {
      await outside.pause(pauseBetween)
      return guard({ outside }, work, tries + 1)
    }
    if (trouble !== null) throw tellTrouble(trouble, outside.storage.place, error)
    if (error instanceof LogError || error instanceof NoteError) throw damaged(error.message, error)
    throw error
  }
}

/** Entries of the log, oldest first, each with its index. Throws ArchiveError `damaged`. */
export async function* history(archive: Archive, start = 0): AsyncGenerator<LoggedEntry> {
  const { storage } = archive.outside
  const head = await openLog(storage.log, archive.key)
  for await (const { index, entry } of readEntries(storage.log, head, start))
    yield { index, entry: parseOrThrow(index, entry) }
}

/** One entry of the log; null where the log does not reach it. */
export async function findEntry(archive: Archive, index: number): Promise<Entry | null> {
  const { storage } = archive.outside
  const head = await openLog(storage.log, archive.key)
  for await (const { entry } of readEntries(storage.log, head, index, index + 1)) return parseOrThrow(index, entry)
  return null
}

/** Entries of the log by their indexes, in the order asked for. Throws LogError where the log does not reach one. */
export async function findEntries(archive: Archive, indexes: readonly number[]): Promise<LoggedEntry[]> {
  if (indexes.length === 0) return []
  const { storage } = archive.outside
  const head = await openLog(storage.log, archive.key)
  const found: LoggedEntry[] = []
  for await (const { index, entry } of readSome(storage.log, head, indexes))
    found.push({ index, entry: parseOrThrow(index, entry) })
  return found
}
