/** Asks the desk's server. Every failure is a `RequestError` with a problem that can be shown. */
import type { Problem } from '../../contract.ts'

/** An answer that is not what was asked for, or none at all (status 0). */
export class RequestError extends Error {
  readonly problem: Problem
  constructor(problem: Problem) {
    super(problem.title)
    this.name = 'RequestError'
    this.problem = problem
  }
}

let token = ''

/** The session's token, which goes with everything but GET. */
export const setToken = (now: string): void => {
  token = now
}

/** Headers that show the server that a change comes from its own page. */
export const tokenHeaders = (): Record<string, string> => ({ 'x-desk-token': token })

/** For requests that must be done once even if they are sent twice. */
export const onceHeaders = (key: string): Record<string, string> => ({ 'idempotency-key': key })

interface Asking {
  method?: 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE'
  body?: unknown
  headers?: Record<string, string>
  signal?: AbortSignal
}

export const noConnection: Problem = {
  type: 'urn:witnessmark:problem:no-connection',
  title: 'The desk does not answer',
  status: 0,
  detail: 'Nothing came back: it may not be running, or the network is down.',
  mend: 'See that it runs, then try again. Nothing that was shown is lost.',
}

/** The response itself, once it is known to be good. */
export async function ask(path: string, { method = 'GET', body, headers, signal }: Asking = {}): Promise<Response> {
  const response = await fetch(path, {
    method,
    signal: signal ?? null,
    credentials: 'same-origin',
    headers: {
      accept: 'application/json, application/problem+json;q=0.9, */*;q=0.5',
      ...(method === 'GET' ? {} : tokenHeaders()),
      ...(body === undefined ? {} : { 'content-type': 'application/json' }),
      ...headers,
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  }).catch((error: unknown) => {
    if (error instanceof DOMException && error.name === 'AbortError') throw error
    throw new RequestError(noConnection)
  })
  if (!response.ok) throw new RequestError(await readProblem(response.status, await response.text().catch(() => '')))
  return response
}

/** The answer's JSON. */
export async function askJson<Answer>(path: string, asking: Asking = {}): Promise<Answer> {
  const response = await ask(path, asking)
  return (await response.json()) as Answer
}

/** What an answer that is no problem document says is told as it is. */
export function readProblem(status: number, text: string): Problem {
  try {
    const parsed = JSON.parse(text) as Partial<Problem> | null
    if (parsed !== null && typeof parsed.title === 'string')
      return { type: 'about:blank', ...parsed, status } as Problem
  } catch {
    // Told below.
  }
  const mend = status >= 500 ? 'Try again; if it stays so, ask whoever runs the desk.' : 'Go back to the queue.'
  return { type: 'about:blank', title: `The desk answered with ${status}`, status, detail: text.slice(0, 300), mend }
}

/** Any failure as a problem to be shown. */
export function problemOf(error: unknown): Problem {
  if (error instanceof RequestError) return error.problem
  const detail = error instanceof Error ? error.message : String(error)
  return { type: 'about:blank', title: 'The page could not do that', status: 0, detail, mend: 'Load the page again.' }
}
