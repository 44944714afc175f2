/** All that the page shows of one packet. */
import { archives, describeAct, findKept, type Report, viewReport } from '../../index.ts'
import type { CustodyView, DecisionView, FileView, NoteView, PacketView } from '../contract.ts'
import { readReport } from './cases.ts'
import type { Desk } from './desk.ts'
import type { Jobs } from './jobs.ts'
import { type Person, seesAll } from './people.ts'
import { readCase } from './queue.ts'

/** Throws ProblemError 404 for a packet that is not there, or not for this person's eyes. */
export async function viewPacket(desk: Desk, jobs: Jobs, person: Person, accession: string): Promise<PacketView> {
  const row = await readCase(desk, person, accession)
  const found = await readReport(desk.archive, accession)
  const report = found?.report ?? null
  const findingKeys = report?.findings.map(archives.findingKey) ?? []
  const entries = await archives.findEntries(desk.archive, await archives.entriesAbout(desk.archive.db, accession))
  return {
    row,
    files: await listFiles(desk, accession, report),
    report,
    view: report === null ? null : viewReport(report, { showWorking: true }),
    findingKeys,
    decisions: await readDecisions(desk, accession, new Set(findingKeys)),
    notes: await readNotes(desk, accession),
    custody: entries.map(describeEntry),
    chain: await readChain(desk, person, accession),
    holds: (await archives.listHolds(desk.archive, accession)).map(
      ({ hold, matter, placedBy: by, placedAt, why, authority }) => ({ hold, matter, by, placedAt, why, authority }),
    ),
    seals: entries.flatMap(({ index, entry }) =>
      entry.act === 'sealed' || entry.act === 're-stamped'
        ? [{ entry: index, at: entry.at, act: entry.act, signer: entry.signer ?? null }]
        : [],
    ),
    job: jobs.about(accession),
  }
}

const describeEntry = ({ index, entry }: archives.LoggedEntry): CustodyView => ({
  entry: index,
  at: entry.at,
  by: entry.by.name,
  act: entry.act,
  text: describeAct(entry),
  why: entry.why ?? null,
  authority: entry.authority ?? null,
})

/** Files as they were received, and what the report read them as. */
export async function listFiles({ archive }: Desk, accession: string, report: Report | null): Promise<FileView[]> {
  const { files } = await findKept(archive, accession)
  const documents = new Map(report?.documents.map((document) => [document.file, document]))
  return files.map(({ path, bytes, sha256 }, at) => {
    const document = documents.get(path)
    const isSame = document?.sha256 === sha256
    const media = isSame ? document.media : 'application/octet-stream'
    return {
      number: at + 1,
      path,
      bytes,
      sha256,
      media,
      kind: document?.kind ?? null,
      shown: wayToShow(media),
      pages: document?.pages ?? 0,
      track: (document?.drive?.points ?? 0) > 0,
    }
  })
}

function wayToShow(media: string): FileView['shown'] {
  if (media === 'application/pdf') return 'pdf'
  if (media.startsWith('image/')) return 'picture'
  return media === 'application/octet-stream' ? 'nothing' : 'words'
}

export async function readDecisions(
  { db }: Desk,
  accession: string,
  current: ReadonlySet<string>,
): Promise<DecisionView[]> {
  const rows = await db
    .selectFrom('decisions')
    .selectAll()
    .where('accession', '=', accession)
    .orderBy('entry')
    .execute()
  return rows.map(({ entry, at, by_name: by, ruling, why, check_id: check, finding }) => ({
    entry,
    at,
    by,
    ruling,
    why,
    check,
    finding,
    current: current.has(finding),
  }))
}

async function readNotes({ db }: Desk, accession: string): Promise<NoteView[]> {
  const rows = await db.selectFrom('notes').selectAll().where('accession', '=', accession).orderBy('note').execute()
  return rows.map(({ note, at, by_name: by, text }) => ({ note, at, by, text }))
}

/** Longer chains are cut: nobody hands a job in a hundred times. */
const mostInChain = 100

async function readChain(desk: Desk, person: Person, accession: string): Promise<PacketView['chain']> {
  const { db } = desk
  const select = () => db.selectFrom('cases').select(['accession', 'name', 'received_at', 'verdict', 'follows', 'shop'])
  const chain = new Map<string, PacketView['chain'][number]>()
  let open = [accession]
  while (open.length > 0 && chain.size < mostInChain) {
    const rows = await select()
      .where((it) => it.or([it('accession', 'in', open), it('follows', 'in', open)]))
      .execute()
    open = []
    for (const { accession: own, name, received_at: receivedAt, verdict, follows, shop } of rows) {
      if (chain.has(own) || !(seesAll(person) || shop === person.shop)) continue
      chain.set(own, { accession: own, name, receivedAt, verdict })
      open.push(own, ...(follows === null ? [] : [follows]))
    }
  }
  return [...chain.values()].sort((a, b) => (a.accession < b.accession ? -1 : 1))
}
