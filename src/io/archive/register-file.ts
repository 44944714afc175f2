/** The register of an archive: one SQLite file (`node:sqlite`), spoken to in Kysely. */
import { DatabaseSync, type SQLInputValue, type StatementSync } from 'node:sqlite'
import { SqliteDialect } from 'kysely'

/**
 * Opens or makes the file. Every commit is on the disk before it is acknowledged: WAL with synchronous FULL
 * (sqlite.org/pragma.html). A transaction is a writer's from its start; where another
 * writes, the statement rejects at once, and `troubleOf` says `busy`: waiting inside SQLite would stop the whole process.
 */
export function openRegisterFile(path: string): SqliteDialect {
  const database = new DatabaseSync(path)
  database.exec(
    'PRAGMA journal_mode = WAL; PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON; PRAGMA trusted_schema = OFF',
  )
  const prepared = new Map<string, StatementSync>()
  const prepare = (sql: string): StatementSync => {
    // Locks are taken at the start, so that what is read before writing cannot go stale.
    const statement = prepared.get(sql) ?? database.prepare(sql === 'begin' ? 'begin immediate' : sql)
    if (prepared.size > mostPrepared) prepared.clear()
    prepared.set(sql, statement)
    return statement
  }
  return new SqliteDialect({
    database: {
      close: () => database.close(),
      prepare: (sql) => {
        const statement = prepare(sql)
        return {
          reader: statement.columns().length > 0,
          all: (parameters) => statement.all(...parameters.map(bind)),
          run: (parameters) =>
            // SQLite has rolled back by itself after a full disk; to ask again would hide what happened.
            sql === 'rollback' && !database.isTransaction
              ? { changes: 0, lastInsertRowid: 0 }
              : statement.run(...parameters.map(bind)),
          iterate: (parameters) => statement.iterate(...parameters.map(bind)),
        }
      },
    },
  })
}

const mostPrepared = 500

/** `node:sqlite` would take an object for a list of named values, and shift all the others to nothing. */
function bind(value: unknown): SQLInputValue {
  if (value === null || typeof value === 'number' || typeof value === 'string' || typeof value === 'bigint')
    return value
  if (value instanceof Uint8Array) return value
  if (typeof value === 'boolean') return value ? 1 : 0
  throw new TypeError(`A register holds no ${typeof value}`)
}

type Trouble = 'busy' | 'full' | 'read-only' | 'in-the-way'

const troubles: Readonly<Record<string | number, Trouble>> = {
  // Result codes of SQLite: SQLITE_BUSY, SQLITE_FULL, SQLITE_READONLY, SQLITE_CANTOPEN.
  5: 'busy',
  13: 'full',
  8: 'read-only',
  14: 'read-only',
  // SQLITE_IOERR_WRITE, _FSYNC, _TRUNCATE and _SHMSIZE: so it says where a quota or a limit on the size of files is reached.
  778: 'full',
  1034: 'full',
  1546: 'full',
  4874: 'full',
  ENOSPC: 'full',
  EDQUOT: 'full',
  EFBIG: 'full',
  EROFS: 'read-only',
  EACCES: 'read-only',
  EPERM: 'read-only',
  EEXIST: 'in-the-way',
  ENOTDIR: 'in-the-way',
  EISDIR: 'in-the-way',
}

/** What an error of SQLite or of the file system says of the place where the archive stands. */
export function troubleOf(error: unknown): Trouble | null {
  if (!(error instanceof Error)) return null
  const { errcode, code } = error as { errcode?: number; code?: string }
  if (errcode === undefined) return troubles[code ?? ''] ?? null
  return troubles[errcode] ?? troubles[errcode & 0xff] ?? null
}
