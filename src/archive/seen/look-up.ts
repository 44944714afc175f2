/**
 * Asks the register what of a packet stands in others. Keys give candidates, at most so many that a look-up costs the same
 * in a large archive as in a small one; every candidate is then compared itself, and only that comparison is told.
 */
import { formatInstant } from '../../facts/instant.ts'
import { compareLikenesses } from '../../facts/look.ts'
import type { Report } from '../../findings/report.ts'
import type { ArchiveAnswer, OtherPacket, Packet, SeenBefore, SharedTime } from '../../packet/packet.ts'
import type { ReadObject, Writing } from '../register/project.ts'
import { mostSeconds } from './engagements.ts'
import { compareMarks } from './marks.ts'
import { compareSets } from './minhash.ts'
import { type FilePrint, keysOf, type Prints, parsePrints, printsOf } from './prints.ts'
import { compareTracks } from './track-shape.ts'

export interface LookUpOptions {
  /** The name of the archive's log. */
  archive: string
  /** The packet itself, where it is kept here; found by its digest where it is left out. */
  except?: string
}

/** Of one key: where more files share it, it stands for what all reports of one kind have. */
const mostOfKey = 100
/** Candidates for one file that are compared, those that share most keys first. */
const mostCandidates = 12
/** Packets that hold the same file, byte for byte. */
const mostHolders = 40

/** Beneath these likenesses nothing is told; the rulebook draws the line among what is. */
const limits = { leastPairs: 0.4, mostLevels: 12, leastCorrelation: 0.97 }

/** What the archive tells of a packet that is at hand. Writes nothing. */
export async function lookUp(
  db: Writing,
  readObject: ReadObject,
  packet: Packet,
  options: LookUpOptions,
): Promise<ArchiveAnswer> {
  const { archive } = options
  const except = options.except ?? (await findItself(db, packet)) ?? ''
  const prints = printsOf(packet)
  const asking: Asking = { db, readPrints: rememberPrints(db, readObject), except }
  const seen = [...(await findSameFiles(asking, packet)), ...(await findAlike(asking, prints))]
  const elsewhere = await findShared(asking, prints)
  const packets = await countOthers(db, except)
  return {
    archive,
    packets,
    seen: dropLesser(seen),
    elsewhere,
    engagements: prints.engagements.length,
  }
}

/** Packets that can be compared, but for this one. */
async function countOthers(db: Writing, except: string): Promise<number> {
  const all = await db.selectFrom('tallies').select('count').where('what', '=', 'printed').executeTakeFirst()
  const own = await db.selectFrom('printed').select('packet').where('accession', '=', except).executeTakeFirst()
  return (all?.count ?? 0) - (own === undefined ? 0 : 1)
}

async function findItself(db: Writing, { digest }: Packet): Promise<string | undefined> {
  const row = await db
    .selectFrom('packets')
    .select('accession')
    .where('digest', '=', digest)
    .where('disposed_idx', 'is', null)
    .executeTakeFirst()
  return row?.accession
}

/** Another packet, and its prints where they are kept. */
interface Known {
  other: OtherPacket
  prints: Prints | null
}

export interface Asking {
  db: Writing
  /** By the entry that received the packet. */
  readPrints(packet: number): Promise<Known | null>
  except: string
}

/** Reads each packet's prints at most once. */
export function rememberPrints(db: Writing, readObject: ReadObject): Asking['readPrints'] {
  const read = new Map<number, Promise<Known | null>>()
  return (packet) => {
    const known = read.get(packet) ?? readKnown(db, readObject, packet)
    read.set(packet, known)
    return known
  }
}

async function readKnown(db: Writing, readObject: ReadObject, packet: number): Promise<Known | null> {
  const row = await db
    .selectFrom('packets')
    .leftJoin('printed', 'printed.packet', 'packets.idx')
    .select([
      'packets.accession',
      'packets.shop as stated_shop',
      'packets.job as stated_job',
      'prints',
      'vin',
      'printed.job',
      'printed.shop',
    ])
    .where('packets.idx', '=', packet)
    .where('disposed_idx', 'is', null)
    .executeTakeFirst()
  if (row === undefined) return null
  const { accession, job, shop, stated_shop, stated_job } = row
  const bytes = row.prints === null ? null : await readObject(row.prints)
  // Checked by a version that left no prints: which vehicle it is of, its report tells.
  const vin = row.prints === null ? await readReportedVin(db, readObject, accession) : row.vin
  const other = { accession, vin, job: job ?? stated_job, shop: shop ?? stated_shop }
  return { other, prints: bytes === null ? null : parsePrints(bytes) }
}

async function readReportedVin(db: Writing, readObject: ReadObject, accession: string): Promise<string | null> {
  const last = await db
    .selectFrom('reports')
    .select('report')
    .where('accession', '=', accession)
    .orderBy('idx', 'desc')
    .limit(1)
    .executeTakeFirst()
  const bytes = last === undefined ? null : await readObject(last.report)
  return bytes === null ? null : ((JSON.parse(new TextDecoder().decode(bytes)) as Report).vehicle.vin ?? null)
}

/** Every byte the same, whatever kind of file it is. */
async function findSameFiles({ db, readPrints, except }: Asking, { documents }: Packet): Promise<SeenBefore[]> {
  const found: SeenBefore[] = []
  for (const { file, sha256, bytes } of documents) {
    if (sha256 === '' || bytes === 0) continue
    const rows = await db
      .selectFrom('contents')
      .innerJoin('manifests', 'manifests.manifest', 'contents.manifest')
      .innerJoin('packets', 'packets.accession', 'manifests.accession')
      .select(['packets.idx', 'contents.path'])
      .where('contents.sha256', '=', sha256)
      .where('manifests.kind', '=', 'packet')
      .where('packets.accession', '!=', except)
      .where('disposed_idx', 'is', null)
      .limit(mostHolders)
      .execute()
    for (const { idx, path } of rows) {
      const known = await readPrints(idx)
      const otherVin = known?.prints?.files.find((print) => print.file === path)?.vin
      if (known !== null)
        found.push({ what: 'file', file, other: known.other, otherFile: path, ...(otherVin && { otherVin }) })
    }
  }
  return found
}

async function findAlike(asking: Asking, { files }: Prints): Promise<SeenBefore[]> {
  const found: SeenBefore[] = []
  for (const own of files) {
    for (const [packet, numbers] of await findCandidates(asking, keysOf(own))) {
      const known = await asking.readPrints(packet)
      for (const number of numbers) {
        const print = known?.prints?.files[number]
        if (known !== null && print !== undefined) found.push(...compare(own, print, known.other))
      }
    }
  }
  return found
}

/** Files that share a key, by packet: the candidates that share most. */
export async function findCandidates(
  { db, except }: Pick<Asking, 'db' | 'except'>,
  keys: readonly number[],
): Promise<Map<number, number[]>> {
  const own = await db.selectFrom('packets').select('idx').where('accession', '=', except).executeTakeFirst()
  const votes = new Map<string, { packet: number; file: number; count: number }>()
  for (const key of keys) {
    const rows = await db
      .selectFrom('bands')
      .select(['packet', 'file'])
      .where('key', '=', key)
      .where('packet', '!=', own?.idx ?? -1)
      .orderBy('packet')
      .orderBy('file')
      .limit(mostOfKey)
      .execute()
    for (const { packet, file } of rows) {
      const vote = votes.get(`${packet} ${file}`) ?? { packet, file, count: 0 }
      vote.count++
      votes.set(`${packet} ${file}`, vote)
    }
  }
  const best = [...votes.values()].sort((a, b) => b.count - a.count || a.packet - b.packet || a.file - b.file)
  const chosen = new Map<number, number[]>()
  for (const { packet, file } of best.slice(0, mostCandidates))
    chosen.set(packet, [...(chosen.get(packet) ?? []), file])
  return chosen
}

/** What two files have in common; nothing where they only share a key. */
export function compare(own: FilePrint, print: FilePrint, other: OtherPacket): SeenBefore[] {
  const common = {
    file: own.file,
    other,
    otherFile: print.file,
    ...(print.vin === undefined ? {} : { otherVin: print.vin }),
  }
  const found: SeenBefore[] = []
  if (own.pairs !== undefined && print.pairs !== undefined) {
    const measure = compareSets(new Set(own.pairs), new Set(print.pairs))
    const marks = compareMarks(own.marks ?? [], print.marks ?? [])
    if (measure >= limits.leastPairs) found.push({ what: 'text', ...common, measure, marks })
  }
  if (own.likeness !== undefined && print.likeness !== undefined) {
    const measure = compareLikenesses(own.likeness, print.likeness)
    if (measure <= limits.mostLevels && showsSameCodes(own, print))
      found.push({ what: 'picture', ...common, measure, moment: compareMoments(own.taken, print.taken) })
  }
  if (own.track !== undefined && print.track !== undefined) {
    const drive = compareTracks(own.track, print.track)
    if (drive !== null && drive.correlation >= limits.leastCorrelation) found.push({ what: 'track', ...common, drive })
  }
  return found
}

/** Labels of two vehicles look alike but for their bar codes and numbers. */
function showsSameCodes(own: FilePrint, print: FilePrint): boolean {
  if (own.vin !== undefined && print.vin !== undefined && own.vin !== print.vin) return false
  if (own.codes === undefined || print.codes === undefined) return true
  return !new Set(own.codes).isDisjointFrom(new Set(print.codes))
}

const compareMoments = (one: string | undefined, other: string | undefined): 'same' | 'another' | 'unknown' =>
  one === undefined || other === undefined ? 'unknown' : one === other ? 'same' : 'another'

/** What is the same file is not told again as its copy. */
function dropLesser(seen: readonly SeenBefore[]): SeenBefore[] {
  const keyOf = ({ file, other, otherFile }: SeenBefore) => JSON.stringify([file, other.accession, otherFile])
  const same = new Set(seen.filter(({ what }) => what === 'file').map(keyOf))
  return seen.filter((one) => one.what === 'file' || !same.has(keyOf(one)))
}

/** At most so many stretches of one person or instrument are looked at. */
const mostShared = 50

async function findShared({ db, readPrints, except }: Asking, prints: Prints): Promise<SharedTime[]> {
  const found: SharedTime[] = []
  for (const own of prints.engagements) {
    const rows = await db
      .selectFrom('engagements')
      .innerJoin('printed', 'printed.packet', 'engagements.packet')
      .select(['engagements.packet', 'starts', 'ends', 'file', 'label'])
      .where('who', '=', own.who)
      .where('name', '=', own.name)
      .where('starts', '>', own.from - mostSeconds)
      .where('starts', '<', own.to)
      .where('ends', '>', own.from)
      .where('printed.accession', '!=', except)
      .orderBy('starts')
      .limit(mostShared)
      .execute()
    for (const { packet, starts, ends, file, label } of rows) {
      const known = await readPrints(packet)
      if (known === null) continue
      found.push({
        who: own.who,
        name: own.printed,
        file: own.file,
        label: own.label,
        other: known.other,
        otherFile: file,
        otherLabel: label,
        from: formatInstant(Math.max(own.from, starts)),
        to: formatInstant(Math.min(own.to, ends)),
        isOnePerson: own.who === 'instrument' || isOneShop(prints, known),
      })
    }
  }
  return found
}

/** One shop by its name, or one instrument that both packets show. */
function isOneShop(own: Prints, { other, prints }: Known): boolean {
  if (own.shop !== null && own.shop === other.shop) return true
  const instruments = new Set(own.engagements.filter(({ who }) => who === 'instrument').map(({ name }) => name))
  return (prints?.engagements ?? []).some(({ who, name }) => who === 'instrument' && instruments.has(name))
}
