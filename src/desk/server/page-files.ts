/** The built page: its files by name, and the page itself for every address that it knows how to show. */
import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Problem } from '../contract.ts'

/** What `vite build` made, by path without a leading slash: read once, since it is small. */
export type PageFiles = ReadonlyMap<string, Uint8Array>

const media: Readonly<Record<string, string>> = {
  html: 'text/html; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  mjs: 'text/javascript; charset=utf-8',
  css: 'text/css; charset=utf-8',
  json: 'application/json',
  svg: 'image/svg+xml',
  png: 'image/png',
  wasm: 'application/wasm',
  bcmap: 'application/octet-stream',
  pfb: 'application/octet-stream',
  ttf: 'font/ttf',
  woff2: 'font/woff2',
}

/** Answers GET for a file of the page, and with the page for any other address without a dot. */
export function servePage(files: PageFiles, request: FastifyRequest, reply: FastifyReply) {
  if (request.method !== 'GET' && request.method !== 'HEAD') return reply.code(405).type('text/plain').send('')
  const [path = ''] = request.url.slice(1).split(/[?#]/)
  const file = files.get(path)
  if (file !== undefined && path !== 'index.html') {
    const ending = path.slice(path.lastIndexOf('.') + 1)
    // Names of assets change with their contents.
    if (path.startsWith('assets/')) reply.header('cache-control', 'public, max-age=31536000, immutable')
    return reply.type(media[ending] ?? 'application/octet-stream').send(Buffer.from(file))
  }
  const page = files.get('index.html')
  if (page === undefined || /\.[a-z0-9]+$/i.test(path))
    return reply.code(404).type('text/plain').send('Nothing is here.\n')
  return reply.type('text/html; charset=utf-8').send(Buffer.from(page))
}

/** The page with a problem that it tells, in a `meta` element of the name `problem`; null where there is no page. */
export function tellOnPage(files: PageFiles, problem: Problem): string | null {
  const page = files.get('index.html')
  if (page === undefined) return null
  const content = JSON.stringify(problem).replace(/[&<>"']/g, (letter) => `&#${letter.charCodeAt(0)};`)
  return Buffer.from(page)
    .toString('utf8')
    .replace('<title>', () => `<meta name="problem" content="${content}"><title>`)
}
