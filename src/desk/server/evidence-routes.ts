/** Files of packets as they were received, and as they can be looked at. */
import { attachment } from './attachment.ts'
import { readReport } from './cases.ts'
import type { Desk } from './desk.ts'
import { findFile, openEvidence, readFile } from './evidence.ts'
import { listFiles } from './packet-view.ts'
import { ProblemError } from './problem.ts'
import { readCase } from './queue.ts'
import { type Asked, accessionOf, type Route, readNumber } from './route.ts'

export function evidenceRoutes(desk: Desk): Route[] {
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
