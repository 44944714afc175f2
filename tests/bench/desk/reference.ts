/** The yardstick: a bare server of the same library that gives the same small answer, or page, to everybody. Prints its address. */
import fastify from 'fastify'

const answer = JSON.stringify({ rows: Array.from({ length: 50 }, (_, at) => ({ at, words: 'x'.repeat(300) })) })

const app = fastify()
app.get('/', (_, reply) => reply.type('application/json').send(answer))
app.get('/page', (_, reply) => reply.type('text/html').send(`<!doctype html><title>Bare</title><pre>${answer}</pre>`))
process.stdout.write(`${await app.listen({ host: '127.0.0.1', port: 0 })}\n`)
