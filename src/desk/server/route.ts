/** What the API answers to, as data: the server and `openapi.json` are both made from it. */
import type { FastifyReply, FastifyRequest } from 'fastify'
import type { Person, Right } from './people.ts'
import type { Session } from './sessions.ts'

/** A name in the `$defs` of schemas/desk.schema.json. */
export type SchemaName = string

export interface Asked {
  person: Person
  /** Null for a program that shows an API token. */
  session: Session | null
  /** Of the path; each is there. */
  params: Readonly<Record<string, string>>
  /** As `query` or `body` of the route states it. */
  query: unknown
  body: unknown
  request: FastifyRequest
  reply: FastifyReply
}

export interface Route {
  method: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
  /** With `:name` for what varies. */
  path: string
  summary: string
  /** What it takes; null for everybody who is signed in. */
  right: Right | null
  query?: SchemaName
  body?: SchemaName | 'bytes'
  answer: { status: number; schema?: SchemaName; media?: string; text: string }
  /** What it gives is shown this once, and no idempotency key keeps it. */
  secret?: true
  /** What it gives is sent as JSON; nothing where the handler has sent it, or there is nothing to send. */
  handle(asked: Asked): Promise<unknown>
}

/** A whole number in a path; null for anything else. */
export const readNumber = (text: string | undefined): number | null =>
  text !== undefined && /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null

/** Of a route about one packet. */
export const accessionOf = ({ params }: Asked): string => params.accession ?? ''
