/** The yardstick: a bare server of the same library that gives the same small answer to everybody. Prints its address. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import fastify from 'fastify'
import { root } from '../../source-file.ts'

const answer = JSON.stringify({ rows: Array.from({ length: 50 }, (_, at) => ({ at, words: 'x'.repeat(300) })) })
const library = join(root, 'node_modules', 'pdfjs-dist', 'legacy', 'build')

/** A page that draws the first page of a PDF and does nothing else: what a browser takes for that. */
const drawing = `<!doctype html><title>Reference</title><p>A page.</p><canvas></canvas><script type="module">
const pdfjs = await import('/pdf.mjs')
pdfjs.GlobalWorkerOptions.workerSrc = '/pdf.worker.mjs'
window.draw = async () => {
  const bytes = await (await fetch('/page.pdf')).arrayBuffer()
  const page = await (await pdfjs.getDocument({ data: bytes }).promise).getPage(1)
  const viewport = page.getViewport({ scale: 1.2 })
  const canvas = document.querySelector('canvas')
  canvas.width = viewport.width
  canvas.height = viewport.height
  await page.render({ canvas, viewport }).promise
}
</script>`

const files: Record<string, { media: string; content: string | Buffer }> = {
  '/': { media: 'application/json', content: answer },
  '/plain': { media: 'text/html', content: '<!doctype html><title>Reference</title><p>A page.</p>' },
  '/drawing': { media: 'text/html', content: drawing },
  '/pdf.mjs': { media: 'text/javascript', content: readFileSync(join(library, 'pdf.min.mjs')) },
  '/pdf.worker.mjs': { media: 'text/javascript', content: readFileSync(join(library, 'pdf.worker.min.mjs')) },
  '/page.pdf': { media: 'application/pdf', content: readFileSync(process.argv[2] ?? '') },
}

const app = fastify()
for (const [path, { media, content }] of Object.entries(files))
  app.get(path, (_, reply) => reply.type(media).send(content))
process.stdout.write(`${await app.listen({ host: '127.0.0.1', port: 0 })}\n`)
