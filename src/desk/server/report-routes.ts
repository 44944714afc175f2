/** Reports as files, what changed between packets, and figures over all of them. */
import {
  archives,
  auditNotes,
  compareSubmissions,
  drawEvidence,
  findKept,
  type Pictures,
  packetAt,
  type Report,
  readSubmission,
  renderCsv,
  renderHtml,
  renderPdf,
  storedPacket,
  viewComparison,
} from '../../index.ts'
import type { AuditView } from '../contract.ts'
import { attachment } from './attachment.ts'
import { readReport } from './cases.ts'
import type { Desk } from './desk.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'
import { readCase } from './queue.ts'
import { accessionOf, type Route } from './route.ts'

/** A report as a file, with pictures of the pages that its findings rest on where its form can have any. */
const reportForms: Record<
  string,
  { media: string; render(desk: Desk, accession: string): Promise<string | Uint8Array> }
> = {
  json: {
    media: 'application/json',
    render: async (desk, accession) => (await lastReport(desk, accession)).bytes,
  },
  csv: {
    media: 'text/csv; charset=utf-8',
    render: async (desk, accession) => renderCsv((await lastReport(desk, accession)).report),
  },
  html: {
    media: 'text/html; charset=utf-8',
    async render(desk, accession) {
      const { report } = await lastReport(desk, accession)
      return renderHtml(report, { pictures: await drawPictures(desk, accession, report) })
    },
  },
  pdf: {
    media: 'application/pdf',
    async render(desk, accession) {
      const { report } = await lastReport(desk, accession)
      const [fonts, pictures] = [await desk.outside.fonts(), await drawPictures(desk, accession, report)]
      return renderPdf(report, { fonts, pictures })
    },
  },
}

async function drawPictures({ archive, outside }: Desk, accession: string, report: Report): Promise<Pictures> {
  const kept = await findKept(archive, accession)
  const storage = storedPacket(kept, archive.outside.storage.objects)
  return drawEvidence(kept.name, report, { storage, draw: outside.draw })
}

async function lastReport({ archive }: Desk, accession: string) {
  const found = await readReport(archive, accession)
  if (found === null)
    throw new ProblemError(404, `${accession} was not checked yet`, { mend: 'Have it checked first.' })
  return found
}

export const reportRoutes = (desk: Desk): Route[] =>
  Object.entries(reportForms).map(([form, { media, render }]) => ({
    method: 'GET',
    path: `/api/packets/:accession/report.${form}`,
    summary: `Its last report, as ${form}`,
    right: 'look',
    answer: { status: 200, media, text: 'The report.' },
    async handle(asked) {
      const accession = accessionOf(asked)
      const { name } = await readCase(desk, asked.person, accession)
      const content = await render(desk, accession)
      return asked.reply
        .type(media)
        .header('content-disposition', attachment(`${accession} ${name.replaceAll('/', '-')}.${form}`))
        .header('content-security-policy', "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox")
        .send(typeof content === 'string' ? content : Buffer.from(content))
    },
  }))

export const acrossRoutes = (desk: Desk): Route[] => [
  {
    method: 'GET',
    path: '/api/comparison',
    summary: 'What changed between two packets',
    right: 'look',
    query: 'ComparisonQuery',
    answer: {
      status: 200,
      media: 'application/json',
      text: 'Files, facts, words and findings that changed, in words.',
    },
    async handle({ person, query }) {
      const { before, after } = query as { before: string; after: string }
      const [one, other] = [await submissionOf(desk, person, before), await submissionOf(desk, person, after)]
      return viewComparison(compareSubmissions(one, other))
    },
  },
  {
    method: 'GET',
    path: '/api/audit',
    summary: 'Figures per shop, technician or instrument, compared fairly',
    right: 'audit',
    query: 'AuditQuery',
    answer: { status: 200, media: 'application/json', text: 'The figures.' },
    async handle({ query }): Promise<AuditView> {
      const { by } = query as { by: archives.AuditGroup }
      return { ...(await archives.auditPackets(desk.archive.db, by, {})), notes: auditNotes }
    },
  },
]

async function submissionOf(desk: Desk, person: Person, accession: string) {
  await readCase(desk, person, accession)
  const kept = await findKept(desk.archive, accession)
  const storage = storedPacket(kept, desk.archive.outside.storage.objects)
  const [rulebook] = desk.rulebooks.values()
  if (rulebook === undefined) throw new Error('The desk has no rulebook')
  const { vocabulary, outside } = desk
  return readSubmission(
    packetAt(storage, kept.name),
    { storage, read: outside.read, archive: archives.askArchive(desk.archive, accession) },
    { vocabulary, rulebook, reviewed: outside.today() },
  )
}
