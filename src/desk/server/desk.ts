/** The desk, open: the archive that keeps the packets, the desk's own file, and what work needs of the world outside. */
import { type Dialect, Kysely } from 'kysely'
import {
  type archives,
  type DrawingOutside,
  type Fonts,
  type KeptSealing,
  nobody,
  type Outside,
  type Rulebook,
  type Signer,
  type VerificationOptions,
  type Vocabulary,
} from '../../index.ts'
import { type Events, makeEvents } from './events.ts'
import { type DeskTables, migrateDesk } from './tables.ts'

/** What the desk needs of the world outside. */
export interface DeskOutside extends Pick<Outside, 'read'>, Pick<DrawingOutside, 'draw'> {
  /** Opens the desk's own file, which is made where there is none. */
  register(): Dialect
  /** Of the reports that are PDFs. */
  fonts(): Promise<Fonts>
  now(): Date
  /** The day of review, `YYYY-MM-DD`. */
  today(): string
}

/** By which identity the desk seals. */
export interface DeskSealing extends Omit<KeptSealing, 'signer'> {
  /** Whom its certificate names. */
  sealer: string
  /** Throws IdentityError where it cannot sign now. */
  signer(): Signer
}

/** Whom those trust who look at seals. */
export type Vouching = Pick<VerificationOptions, 'trust' | 'evidence'>

export interface DeskOptions {
  archive: archives.Archive
  /** By name; the first weighs where none is asked for. */
  rulebooks: ReadonlyMap<string, Rulebook>
  vocabulary: Vocabulary
  /** Version of witnessmark. */
  program: string
  /** Where it is left out the desk seals nothing. */
  sealing?: DeskSealing
  /** Nobody, where it is left out. */
  vouching?: Vouching
}

export interface Desk extends Omit<DeskOptions, 'sealing' | 'vouching'> {
  sealing: DeskSealing | null
  vouching: Vouching
  outside: DeskOutside
  db: Kysely<DeskTables>
  events: Events
}

/** Opens the desk. Rejects where its file cannot be opened or a newer version wrote it. */
export async function openDesk(outside: DeskOutside, options: DeskOptions): Promise<Desk> {
  const db = new Kysely<DeskTables>({ dialect: outside.register() })
  try {
    await migrateDesk(db)
  } catch (error) {
    await db.destroy()
    throw error
  }
  const { sealing = null, vouching = { trust: nobody } } = options
  return { ...options, sealing, vouching, outside, db, events: makeEvents() }
}

/** Closes the desk's file; the archive is whoever's who opened it. */
export const closeDesk = ({ db }: Desk): Promise<void> => db.destroy()

/** RFC 3339, UTC, whole seconds. */
export const stampOf = (time: Date): string => `${time.toISOString().slice(0, 19)}Z`
