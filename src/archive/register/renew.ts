/** A register that another version of the program made: emptied, to be made anew from the log. */
import { sql } from 'kysely'
import type { Writing } from './project.ts'
import { madeTables } from './tables.ts'

/**
 * Empties the register, lets `bringIn` fill it again, and gives back to what is kept what the log does not say: when fixity
 * last found it sound.
 */
export async function makeAnew(writing: Writing, bringIn: () => Promise<void>): Promise<void> {
  await sql`create temp table found_sound as select sha256, sound_at from objects where sound_at is not null`.execute(
    writing,
  )
  for (const table of [...madeTables, 'objects'] as const) await writing.deleteFrom(table).execute()
  await bringIn()
  await sql`update objects set sound_at = found_sound.sound_at from found_sound where found_sound.sha256 = objects.sha256`.execute(
    writing,
  )
  await sql`drop table temp.found_sound`.execute(writing)
}
