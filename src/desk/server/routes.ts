/** Everything that the API answers to. */
import {
  archives,
  compareSubmissions,
  drawEvidence,
  findKept,
  type Pictures,
  packetAt,
  type Report,
  type Rulebook,
  readSubmission,
  renderCsv,
  renderHtml,
  renderPdf,
  storedPacket,
  viewComparison,
} from '../../index.ts'
import type {
  CaseChange,
  NewCheck,
  NewDecision,
  NewHold,
  NewNote,
  NewUpload,
  QueueQuery,
  Reasons,
} from '../contract.ts'
import { follow, readReport } from './cases.ts'
import type { Desk } from './desk.ts'
import { findFile, openEvidence, readFile } from './evidence.ts'
import type { Jobs } from './jobs.ts'
import { listFiles, viewPacket } from './packet-view.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'
import { readCase, readQueue } from './queue.ts'
import { type Asked, type Route, readNumber } from './route.ts'
import type { Uploads } from './uploads.ts'
import { addNote, changeCase, decide, hold, logView, release } from './work.ts'

/** The routes under /api that are about packets. `sessions` and `events` have theirs beside them. */
export function listRoutes(desk: Desk, jobs: Jobs, uploads: Uploads): Route[] {
  return [
    ...queueRoutes(desk),
    ...uploadRoutes(desk, jobs, uploads),
    ...packetRoutes(desk, jobs),
    ...evidenceRoutes(desk),
    ...workRoutes(desk, jobs),
    ...reportRoutes(desk),
    ...acrossRoutes(desk),
  ]
}

function chooseRulebook({ rulebooks }: Desk, name: string | undefined): Rulebook {
  const [first] = rulebooks.values()
  const chosen = name === undefined ? first : rulebooks.get(name)
  if (chosen !== undefined) return chosen
  throw new ProblemError(422, `There is no rulebook ${name}`, {
    mend: `Name one of ${[...rulebooks.keys()].join(', ')}.`,
  })
}

const accessionOf = ({ params }: Asked): string => params.accession ?? ''

const queueRoutes = (desk: Desk): Route[] => [
  {
    method: 'GET',
    path: '/api/packets',
    summary: 'Packets of the queue, a page at a time',
    right: 'look',
    query: 'QueueQuery',
    answer: { status: 200, schema: 'QueuePage', text: 'A page of the queue.' },
    async handle({ person, query }) {
      await follow(desk)
      return readQueue(desk, person, query as QueueQuery)
    },
  },
]

const uploadRoutes = (desk: Desk, jobs: Jobs, uploads: Uploads): Route[] => [
  {
    method: 'POST',
    path: '/api/uploads',
    summary: 'Begin to hand a packet over',
    right: 'submit',
    body: 'NewUpload',
    answer: { status: 201, schema: 'Upload', text: 'Where its files are sent.' },
    handle: async ({ person, body }) => {
      const wanted = body as NewUpload
      chooseRulebook(desk, wanted.rulebook)
      return uploads.begin(person, wanted)
    },
  },
  {
    method: 'PUT',
    path: '/api/uploads/:upload/files',
    summary: 'Send one file of it, as it is',
    right: 'submit',
    query: 'FilePath',
    body: 'bytes',
    answer: { status: 201, schema: 'UploadedFile', text: 'The file is on the disk.' },
    handle: ({ person, params, query, body }) =>
      uploads.take(
        person,
        params.upload ?? '',
        (query as { path: string }).path,
        (body ?? nothing()) as AsyncIterable<Uint8Array>,
      ),
  },
  {
    method: 'POST',
    path: '/api/uploads/:upload/done',
    summary: 'All its files are there: receive and check it',
    right: 'submit',
    answer: { status: 202, schema: 'Job', text: 'How far it has come; /api/events tells more.' },
    handle: async ({ person, params }) => {
      const { packet, wanted } = uploads.finish(person, params.upload ?? '')
      return jobs.receive(person, packet, chooseRulebook(desk, wanted.rulebook))
    },
  },
  {
    method: 'DELETE',
    path: '/api/uploads/:upload',
    summary: 'Drop an upload that is not done',
    right: 'submit',
    answer: { status: 204, text: 'It is dropped.' },
    handle: async ({ person, params }) => uploads.drop(person, params.upload ?? ''),
  },
  {
    method: 'GET',
    path: '/api/jobs/:job',
    summary: 'How far work on a packet has come',
    right: 'look',
    answer: { status: 200, schema: 'Job', text: 'How far it has come.' },
    async handle({ person, params }) {
      const found = jobs.find(person, params.job ?? '')
      if (found === null) throw new ProblemError(404, 'There is no such work')
      return found
    },
  },
]

async function* nothing(): AsyncGenerator<Uint8Array> {}

function packetRoutes(desk: Desk, jobs: Jobs): Route[] {
  const seen = new Map<string, number>()
  return [
    {
      method: 'GET',
      path: '/api/packets/:accession',
      summary: 'One packet: its report, files, custody, and what was said of it. That it was looked at is logged',
      right: 'look',
      answer: { status: 200, schema: 'Packet', text: 'The packet.' },
      async handle(asked) {
        const accession = accessionOf(asked)
        await follow(desk)
        await readCase(desk, asked.person, accession)
        await logView(desk, asked.person, accession, seen)
        await follow(desk)
        return viewPacket(desk, jobs, asked.person, accession)
      },
    },
    {
      method: 'PATCH',
      path: '/api/packets/:accession',
      summary: 'Say how work on it stands, and who looks after it',
      right: 'review',
      body: 'CaseChange',
      answer: { status: 200, schema: 'QueueRow', text: 'The packet in the queue.' },
      handle: (asked) => changeCase(desk, asked.person, accessionOf(asked), asked.body as CaseChange),
    },
    {
      method: 'POST',
      path: '/api/packets/:accession/checks',
      summary: 'Check it again, by a rulebook',
      right: 'review',
      body: 'NewCheck',
      answer: { status: 202, schema: 'Job', text: 'How far it has come.' },
      async handle(asked) {
        const { accession, name } = await readCase(desk, asked.person, accessionOf(asked))
        return jobs.check(asked.person, accession, name, chooseRulebook(desk, (asked.body as NewCheck).rulebook))
      },
    },
  ]
}

function evidenceRoutes(desk: Desk): Route[] {
  const evidence = openEvidence(desk)
  const path = '/api/packets/:accession/files/:number'
  const find = async (asked: Asked) => {
    const accession = accessionOf(asked)
    await readCase(desk, asked.person, accession)
    const number = readNumber(asked.params.number)
    const report = (await readReport(desk.archive, accession))?.report ?? null
    const view = (await listFiles(desk, accession, report)).find((file) => file.number === number)
    if (number === null || view === undefined) throw new ProblemError(404, `${accession} has no such file`)
    return { file: await findFile(desk, accession, number), media: view.media }
  }
  return [
    {
      method: 'GET',
      path,
      summary: 'A file as it was received, as bytes to be saved and never as something to be run',
      right: 'look',
      answer: { status: 200, media: 'application/octet-stream', text: 'Its bytes.' },
      async handle(asked) {
        const { file } = await find(asked)
        const bytes = await readFile(desk, file)
        return asked.reply
          .type('application/octet-stream')
          .header('content-disposition', attachment(file.path))
          .header('content-security-policy', "default-src 'none'; sandbox")
          .header('etag', `"${file.sha256}"`)
          .send(Buffer.from(bytes))
      },
    },
    {
      method: 'GET',
      path: `${path}/words`,
      summary: 'Its words in their places',
      right: 'look',
      answer: { status: 200, schema: 'Words', text: 'Words by page.' },
      async handle(asked) {
        const { file, media } = await find(asked)
        return evidence.words(file, media)
      },
    },
    {
      method: 'GET',
      path: `${path}/track`,
      summary: 'The drive that it logs',
      right: 'look',
      answer: { status: 200, schema: 'Track', text: 'Its points.' },
      async handle(asked) {
        const { file, media } = await find(asked)
        const track = await evidence.track(file, media)
        if (track === null) throw new ProblemError(404, `${file.path} logs no drive`)
        return track
      },
    },
    {
      method: 'GET',
      path: `${path}/pages/:page`,
      summary: 'A page of it as a picture; the header picture-region has its bounds in the units of places',
      right: 'look',
      answer: { status: 200, media: 'image/jpeg', text: 'The page.' },
      async handle(asked) {
        const { file, media } = await find(asked)
        const page = readNumber(asked.params.page)
        if (page === null) throw new ProblemError(404, `${file.path} has no such page`)
        const { jpeg, region } = await evidence.picture(file, media, page)
        return asked.reply
          .type('image/jpeg')
          .header('picture-region', region.join(' '))
          .header('cache-control', 'private, max-age=3600')
          .send(Buffer.from(jpeg))
      },
    },
  ]
}

/** RFC 6266, RFC 8187: any name, and nothing of it read as anything else. */
const attachment = (path: string): string => {
  const name = path.slice(path.lastIndexOf('/') + 1)
  const plain = name.replace(/[^\w. -]/g, '_')
  const encoded = encodeURIComponent(name.toWellFormed()).replace(
    /['()*]/g,
    (one) => `%${one.charCodeAt(0).toString(16)}`,
  )
  return `attachment; filename="${plain}"; filename*=UTF-8''${encoded}`
}

const workRoutes = (desk: Desk, _jobs: Jobs): Route[] => [
  {
    method: 'POST',
    path: '/api/packets/:accession/notes',
    summary: 'Add a note',
    right: 'note',
    body: 'NewNote',
    answer: { status: 201, schema: 'Note', text: 'The note.' },
    handle: (asked) => addNote(desk, asked.person, accessionOf(asked), (asked.body as NewNote).text),
  },
  {
    method: 'POST',
    path: '/api/packets/:accession/decisions',
    summary: 'Decide on a finding: the custody log says so, and the finding stays as it is',
    right: 'review',
    body: 'NewDecision',
    answer: { status: 201, schema: 'Decision', text: 'The decision, with its entry in the custody log.' },
    handle: (asked) => decide(desk, asked.person, accessionOf(asked), asked.body as NewDecision),
  },
  {
    method: 'POST',
    path: '/api/holds',
    summary: 'Hold packets for a matter: nothing of them is destroyed while it is in force',
    right: 'keep',
    body: 'NewHold',
    answer: { status: 201, schema: 'PlacedHold', text: 'The hold.' },
    handle: ({ person, body }) => hold(desk, person, body as NewHold),
  },
  {
    method: 'DELETE',
    path: '/api/holds/:hold',
    summary: 'Lift a hold; packets that another holds stay held',
    right: 'keep',
    body: 'Reasons',
    answer: { status: 204, text: 'It is lifted.' },
    handle: ({ person, params, body }) => release(desk, person, params.hold ?? '', body as Reasons),
  },
]

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

const reportRoutes = (desk: Desk): Route[] =>
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

const acrossRoutes = (desk: Desk): Route[] => [
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
    handle: ({ query }) => archives.auditPackets(desk.archive.db, (query as { by: archives.AuditGroup }).by, {}),
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
