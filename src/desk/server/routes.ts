/** Everything that the API answers to. */
import { Readable } from 'node:stream'
import type { Rulebook } from '../../index.ts'
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
import { follow } from './cases.ts'
import type { Desk } from './desk.ts'
import { evidenceRoutes } from './evidence-routes.ts'
import type { Jobs } from './jobs.ts'
import { viewPacket } from './packet-view.ts'
import { ProblemError } from './problem.ts'
import { readCase, readQueue } from './queue.ts'
import { acrossRoutes, reportRoutes } from './report-routes.ts'
import { accessionOf, type Route } from './route.ts'
import { sealRoutes } from './seal-routes.ts'
import type { Uploads } from './uploads.ts'
import { addNote, changeCase, decide, hold, openViews, release } from './work.ts'

/** The routes under /api that are about packets. `sessions` and `events` have theirs beside them. */
export function listRoutes(desk: Desk, jobs: Jobs, uploads: Uploads): Route[] {
  return [
    ...queueRoutes(desk),
    ...uploadRoutes(desk, jobs, uploads),
    ...packetRoutes(desk, jobs),
    ...evidenceRoutes(desk),
    ...workRoutes(desk),
    ...sealRoutes(desk, jobs),
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
    async handle({ person, params, query, body, reply }) {
      const { path } = query as { path: string }
      // A stream that is left early is not destroyed, and the connection with it: the answer still goes out, and ends it.
      const chunks = body instanceof Readable ? body.iterator({ destroyOnReturn: false }) : nothing()
      try {
        return await uploads.take(person, params.upload ?? '', path, chunks)
      } catch (error) {
        reply.header('connection', 'close')
        throw error
      }
    },
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
  const noteView = openViews(desk)
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
        await noteView(asked.person, accession)
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

const workRoutes = (desk: Desk): Route[] => [
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
