/**
 * `npm run bench:archive`: what work with an archive and asking it cost as it grows, against the same with a thousand packets.
 * `--large` adds a million packets, which takes some minutes and 10 GB.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { Kysely } from 'kysely'
import { migrate } from '../../../src/archive/archive.ts'
import type { Register } from '../../../src/archive/register/tables.ts'
import { bandRows } from '../../../src/archive/seen/index-prints.ts'
import { lookUp } from '../../../src/archive/seen/look-up.ts'
import { formatPrints, printsOf } from '../../../src/archive/seen/prints.ts'
import { openRegisterFile } from '../../../src/io/archive/register-file.ts'
import { type ActTimes, type Growth, measureActs } from './acts.ts'
import { type Asked, makeAsked } from './asked.ts'
import { accessionOf, fillRegister } from './fill.ts'

/** How many packets are looked up, of which each is a copy of one that is there. */
const asked = 40
/** The reports of one instrument and model share a key for every so many packets. */
const packetsPerTemplate = 500

interface Size {
  packets: number
  milliseconds: number
  /** Of the processor, which other programs do not add to. */
  work: number
  bytes: number
  found: number
  matches: number
}

/** Puts the originals of what will be asked in, and fills the keys that all reports of their kind share. */
async function plant(
  db: Kysely<Register>,
  originals: readonly Asked[],
  packets: number,
): Promise<Map<string, Uint8Array>> {
  const objects = new Map<string, Uint8Array>()
  await db.transaction().execute(async (writing) => {
    for (const [at, { original }] of originals.entries()) {
      const idx = packets + 1 + at
      const prints = printsOf(original)
      const name = `print ${at}`
      objects.set(name, formatPrints(prints))
      const { vin, job, shop } = prints
      const common = { name: original.name, form: 'folder', digest: original.digest, bag: 0, manifest: name } as const
      const rest = { files: 3, bytes: 1, handed_by: null, received_by: 'clerk', follows: null, shop, job, claim: null }
      await writing
        .insertInto('packets')
        .values({
          accession: accessionOf(idx),
          idx,
          received_at: '2026-03-15T10:00:00Z',
          ...common,
          ...rest,
          disposed_idx: null,
        })
        .execute()
      await writing
        .insertInto('printed')
        .values({ packet: idx, accession: accessionOf(idx), prints: name, vin, job, shop })
        .execute()
      const rows = bandRows(idx, prints)
      await writing.insertInto('bands').values(rows).execute()
      const shared = rows.slice(0, 4).flatMap(({ key }) =>
        Array.from({ length: Math.floor(packets / packetsPerTemplate) }, (_, other) => ({
          key,
          packet: 1 + ((other * packetsPerTemplate + at) % packets),
          file: 0,
        })),
      )
      for (let from = 0; from < shared.length; from += 5000)
        await writing
          .insertInto('bands')
          .values(shared.slice(from, from + 5000))
          .onConflict((it) => it.doNothing())
          .execute()
    }
  })
  return objects
}

async function measure(folder: string, packets: number, packetsAsked: readonly Asked[]): Promise<Size> {
  const path = join(folder, `register-${packets}.sqlite`)
  const made = new Kysely<Register>({ dialect: openRegisterFile(path) })
  await migrate(made)
  await made.destroy()
  fillRegister(path, packets)
  const bytes = statSync(path).size
  const db = new Kysely<Register>({ dialect: openRegisterFile(path) })
  const objects = await plant(db, packetsAsked, packets)
  // Of simulated packets there are no prints to read: another's stand in, so that each candidate costs what it would.
  const stand = objects.get('print 0') ?? new Uint8Array()
  const read = async (name: string) => objects.get(name) ?? stand
  const [times, work]: [number[], number[]] = [[], []]
  let [found, matches] = [0, 0]
  for (const { copy, original } of packetsAsked) {
    const [begun, spent] = [performance.now(), process.cpuUsage()]
    const { seen } = await lookUp(db, read, copy, { archive: 'bench', except: '' })
    times.push(performance.now() - begun)
    const { user, system } = process.cpuUsage(spent)
    work.push((user + system) / 1000)
    matches += seen.length
    if (
      ['text', 'track', 'picture'].every((what) =>
        seen.some((one) => one.what === what && one.other.vin === original.vehicle.vin),
      )
    )
      found++
  }
  await db.destroy()
  rmSync(path)
  return { packets, milliseconds: middleOf(times), work: middleOf(work), bytes: bytes / packets, found, matches }
}

const middleOf = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? 0

const sizesOf = (large: boolean): number[] => [1000, 10_000, 100_000, ...(large ? [1_000_000] : [])]

async function reportLookUps(folder: string, sizes: readonly number[], packets: readonly Asked[]): Promise<void> {
  process.stdout.write(
    'Packets looked up, each a copy of one that is there: medians, and the ratio of\nprocessor time to the smallest archive.\n\n',
  )
  process.stdout.write('  packets     ratio   one look-up   of processor   bytes a packet   copies found\n')
  let first: number | null = null
  for (const size of sizes) {
    const { milliseconds, work, bytes, found } = await measure(folder, size, packets)
    first ??= work
    process.stdout.write(
      `${String(size).padStart(9)}${(work / first).toFixed(2).padStart(8)} ×${milliseconds.toFixed(1).padStart(11)} ms${work.toFixed(1).padStart(12)} ms${bytes.toFixed(0).padStart(17)}${`${found} of ${asked}`.padStart(15)}\n`,
    )
  }
}

const acts = ['open', 'add', 'list', 'vin', 'job', 'shop', 'days'] as const satisfies readonly (keyof ActTimes)[]
const parts = ['log', 'register', 'index', 'objects'] as const satisfies readonly (keyof Growth)[]

async function reportActs(folder: string, sizes: readonly number[], packets: readonly Asked[]): Promise<void> {
  process.stdout.write(
    '\nOrdinary acts: processor time, as a ratio to the smallest archive (milliseconds). Searches\nare by VIN, job, shop and days of calibration; a list is of 100 packets.\n\n',
  )
  process.stdout.write(`  packets${acts.map((act) => act.padStart(16)).join('')}\n`)
  let first: ActTimes | null = null
  const rows: string[] = []
  for (const size of sizes) {
    const { times, growth } = await measureActs(folder, size, packets)
    first ??= times
    const smallest = first
    const cells = acts.map((act) =>
      `${(times[act] / smallest[act]).toFixed(2)} × (${times[act].toFixed(1)})`.padStart(16),
    )
    process.stdout.write(`${String(size).padStart(9)}${cells.join('')}\n`)
    rows.push(`${String(size).padStart(9)}${parts.map((part) => growth[part].toFixed(0).padStart(12)).join('')}\n`)
  }
  process.stdout.write(
    '\nBytes a packet on the disk; objects are what a packet of one small file adds to it: list, report and prints.\n\n',
  )
  process.stdout.write(`  packets${parts.map((part) => part.padStart(12)).join('')}\n${rows.join('')}`)
}

async function main(): Promise<void> {
  const { values } = parseArgs({ options: { large: { type: 'boolean' } } })
  const folder = mkdtempSync(join(tmpdir(), 'witnessmark-archive-'))
  const sizes = sizesOf(values.large ?? false)
  try {
    const packets = makeAsked(asked)
    await reportLookUps(folder, sizes, packets)
    await reportActs(folder, sizes, packets)
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

await main()
