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

/** A route for those who are not signed in. */
export interface OpenRoute extends Pick<Route, 'method' | 'path' | 'summary' | 'body' | 'answer'> {
  /** One address may ask ten times a minute: somebody could guess here. */
  slowed?: true
  /** A browser is sent here, so that what goes wrong is told on the page. */
  visited?: true
  handle(asked: OpenAsked): Promise<unknown>
}

export interface OpenAsked extends Pick<Asked, 'body' | 'request' | 'reply'> {
  /** By which address of the desk it was asked, as browsers write it. */
  origin: string
  /** Whether cookies go over TLS alone. */
  secure: boolean
  /** Sets the cookie of a session. */
  begin(secret: string): void
}

/** A whole number in a path; null for anything else. */
export const readNumber = (text: string | undefined): number | null =>
  text !== undefined && /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null

/** Of a route about one packet. */
export const accessionOf = ({ params }: Asked): string => params.accession ?? ''
