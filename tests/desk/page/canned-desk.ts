/** A desk that answers with one example packet, under the policy of the real one: for trying the page alone. */
import { readdirSync, readFileSync } from 'node:fs'
import { createServer, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { extname, join } from 'node:path'
import type { PacketView, QueuePage, QueueRow, SealsView, SessionView } from '../../../src/desk/contract.ts'
import { sealParts } from '../../../src/facts/seal.ts'
import {
  archives,
  checkPacket,
  checks,
  compileVocabulary,
  parseRulebook,
  parseVocabularyPage,
  type Report,
  viewReport,
  viewSeal,
} from '../../../src/index.ts'
import { fileSystem, readShippedRulebook, readShippedVocabulary, startReading } from '../../../src/io/index.ts'
import { root } from '../../source-file.ts'

/** As the server sends it with the page. */
export const policy =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self'; img-src 'self' blob: data:; font-src 'self' data:; connect-src 'self'; worker-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

const folder = join(root, 'examples', 'packets', 'windshield-camera')

/** The review of the example. */
export async function reviewExample(): Promise<Report> {
  const vocabulary = compileVocabulary([parseVocabularyPage(await readShippedVocabulary(), 'vocabulary.yaml')])
  const { rulebook } = parseRulebook(await readShippedRulebook(), checks)
  if (rulebook === null) throw new Error('The rulebook has faults')
  const reading = startReading()
  const outside = { storage: fileSystem, read: reading.read }
  const report = await checkPacket(folder, outside, { vocabulary, rulebook, reviewed: '2026-11-25' })
  await reading.close()
  return report
}

const session: SessionView = {
  name: 'Nora Quill',
  roles: ['submitter', 'reviewer', 'custodian'],
  shop: null,
  token: 'token',
  archive: 'archive.example/bay',
  version: '0.1.0',
  accounts: true,
  provider: null,
  rulebooks: ['general', 'claim'],
  seals: true,
  sealer: 'CN=Records desk',
}

/** A seal with a part in every state. */
const seals: SealsView = {
  examined: '2026-11-25T12:00:00Z',
  seals: [
    {
      entry: 7,
      at: '2026-11-25T11:30:00Z',
      signer: 'CN=Records desk',
      ...viewSeal({
        parts: (['holds', 'broken', 'doubtful', 'absent', 'unexamined'] as const).map((state, at) => ({
          part: sealParts[at] ?? 'files',
          state,
          code: state,
          text: `what is told of a part that is ${state}`,
          file: null,
          faults: state === 'broken' ? [{ file: 'data/a.txt', code: 'changed', text: 'data/a.txt was changed' }] : [],
        })),
      }),
    },
  ],
}

/** The example as the desk tells it. */
export function tellPacket(report: Report): PacketView {
  const row: QueueRow = {
    accession: '2026-0001',
    name: report.packet,
    receivedAt: '2026-11-25T10:00:00Z',
    shop: 'Mossgate Collision Center',
    job: 'RO 26-1207',
    claim: null,
    vin: report.vehicle.vin,
    vehicle: '2022 Orvane Sorrel',
    verdict: report.verdict,
    counts: report.counts,
    worst: report.findings[0]?.reason ?? null,
    files: report.documents.length,
    bytes: 0,
    state: 'new',
    assigned: null,
    notes: 1,
    decisions: 0,
    holds: [],
    follows: null,
    followedBy: null,
  }
  const files = readdirSync(folder).map((path, at): PacketView['files'][number] => {
    const document = report.documents.find(({ file }) => file === path)
    const shown = path.endsWith('.pdf') ? 'pdf' : document === undefined ? 'nothing' : 'words'
    const { bytes = 0, sha256 = '', media = 'application/yaml', kind = null, pages = 0 } = document ?? {}
    return { number: at + 1, path, bytes, sha256, media, kind, shown, pages, track: false }
  })
  return {
    row,
    files,
    report,
    view: viewReport(report, { showWorking: true }),
    findingKeys: report.findings.map(archives.findingKey),
    decisions: [],
    notes: [{ note: 1, at: '2026-11-25T11:00:00Z', by: 'Nora Quill', text: '<b>asked</b> the shop' }],
    custody: [],
    chain: [],
    holds: [],
    seals: [],
    job: null,
  }
}

const media: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.mjs': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
}

/** Serves a built page and one packet; gives the address, and what ends it. `isSignedIn`: asked at each request. */
export async function openCannedDesk(page: string, packet: PacketView, isSignedIn: () => boolean) {
  const queue: QueuePage = {
    rows: [packet.row],
    next: null,
    total: 1,
    tallies: {
      state: { new: 1, 'in-review': 0, asked: 0, settled: 0 },
      verdict: { fail: 1, warn: 0, pass: 0, none: 0 },
      held: 0,
    },
    shops: ['Mossgate Collision Center'],
    assigned: [],
  }
  const answers: Record<string, unknown> = {
    '/api/session': session,
    '/api/packets': queue,
    '/api/packets/2026-0001': packet,
    '/api/packets/2026-0001/seals': seals,
  }
  const server: Server = createServer((request, response) => {
    const path = decodeURIComponent((request.url ?? '').split('?')[0] ?? '')
    if (!path.startsWith('/api')) return sendPage(response, page, path)
    if (path === '/api/sign-in') return response.writeHead(200).end(JSON.stringify({ openid: null }))
    if (!isSignedIn()) return sendProblem(response, 401, 'You are not signed in', 'Sign in.')
    if (path === '/api/events') {
      response.writeHead(200, { 'content-type': 'text/event-stream' }).write(':\n\n')
      return
    }
    if (path.endsWith('/words')) return response.writeHead(200).end(JSON.stringify({ pages: [] }))
    const file = packet.files[Number(/\/files\/(\d+)$/.exec(path)?.[1]) - 1]
    if (file !== undefined) return response.writeHead(200).end(readFileSync(join(folder, file.path)))
    if (answers[path] === undefined) return sendProblem(response, 404, 'There is nothing here', 'See the queue.')
    return response.writeHead(200, { 'content-type': 'application/json' }).end(JSON.stringify(answers[path]))
  })
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done))
  const { port } = server.address() as AddressInfo
  const close = () =>
    new Promise<void>((done) => {
      server.closeAllConnections()
      server.close(() => done())
    })
  return { address: `http://127.0.0.1:${port}`, close }
}

function sendPage(response: ServerResponse, page: string, path: string) {
  const isFile = path.startsWith('/assets/')
  const body = readFileSync(join(page, isFile ? path : 'index.html'))
  response
    .writeHead(200, {
      'content-type': media[isFile ? extname(path) : '.html'] ?? 'application/octet-stream',
      'content-security-policy': policy,
    })
    .end(body)
}

function sendProblem(response: ServerResponse, status: number, title: string, mend: string) {
  const problem = { type: 'about:blank', title, status, mend }
  response.writeHead(status, { 'content-type': 'application/problem+json' }).end(JSON.stringify(problem))
}
