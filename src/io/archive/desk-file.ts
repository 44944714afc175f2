/** Copies of a desk's own file, `desk.sqlite` beside an archive. */
import { existsSync } from 'node:fs'
import { chmod, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { DatabaseSync } from 'node:sqlite'

const name = 'desk.sqlite'

/** Sessions end with the desk; what is made from the archive's log is made again, since a copy's log may be shorter. */
const notCopied = ['sessions', 'openings', 'answers', 'followed', 'cases', 'decisions']

/**
 * Copies what people wrote at the desk of the archive in the folder `from` (notes, states, accounts, tokens) to that in the
 * folder `to`, as it is at one moment, whether or not a desk is open. False where there is none. Rejects where it cannot be
 * read or written.
 */
export async function copyDeskFile(from: string, to: string): Promise<boolean> {
  if (!existsSync(join(from, name))) return false
  const fresh = join(to, `${name}.new`)
  await rm(fresh, { force: true })
  const source = new DatabaseSync(join(from, name))
  try {
    source.prepare('vacuum into ?').run(fresh)
  } finally {
    source.close()
  }
  await chmod(fresh, 0o600)
  const copy = new DatabaseSync(fresh)
  try {
    const has = copy.prepare("select 1 from sqlite_master where type = 'table' and name = ?")
    // An earlier version's file has fewer.
    for (const table of notCopied) if (has.get(table) !== undefined) copy.exec(`delete from ${table}`)
    // What was deleted is gone from the file, too.
    copy.exec('vacuum')
  } finally {
    copy.close()
  }
  await rename(fresh, join(to, name))
  return true
}
