/** Asks a time-stamp authority over HTTP (RFC 3161, section 3.4). */
import { randomBytes } from 'node:crypto'
import { readLimited, TooLong, whyNoAnswer } from './http-answer.ts'

export interface StampClientOptions {
  /** For one attempt, in milliseconds. */
  timeout?: number
  /** Attempts after the first, where the authority cannot be reached or fails of itself. */
  retries?: number
  /** Milliseconds before the first of them; doubled each time. */
  pause?: number
}

/** The authority could not be asked, or did not answer as one. `where` is its address. */
export class StampClientError extends Error {
  override name = 'StampClientError'
  readonly where: string
  readonly mend: string

  constructor(where: string, message: string, mend: string, options?: ErrorOptions) {
    super(message, options)
    this.where = where
    this.mend = mend
  }
}

const usual = { timeout: 20_000, retries: 2, pause: 500 }

/** More than any chain of certificates needs. */
const mostBytes = 256 * 1024

/** Bytes that nobody can foresee, for `createStampQuery`. */
export const makeNonce = (): Uint8Array => new Uint8Array(randomBytes(16))

/** Throws StampClientError for what is no address of a service on the web. */
export function readAddress(url: string): URL {
  const address = URL.parse(url)
  if (address !== null && ['http:', 'https:'].includes(address.protocol) && address.username === '') return address
  throw new StampClientError(url, `${url} is no address of a time-stamp service`, 'Write it as http://… or https://…')
}

/** The answer (DER) to a query (DER). Redirects are not followed: the user named whom to ask. Rejects with StampClientError. */
export async function askAuthority(
  url: string,
  query: Uint8Array,
  options: StampClientOptions = {},
): Promise<Uint8Array> {
  const address = readAddress(url)
  const { timeout, retries, pause } = { ...usual, ...options }
  for (let attempt = 0; ; attempt++) {
    try {
      return await askOnce(address, query, timeout)
    } catch (error) {
      const isPassing = error instanceof Passing
      if (!isPassing || attempt === retries) throw describe(address, error)
      await new Promise((resolve) => setTimeout(resolve, pause * 2 ** attempt))
    }
  }
}

/** What may be otherwise in a moment. */
class Passing extends Error {}

async function askOnce(address: URL, query: Uint8Array, timeout: number): Promise<Uint8Array> {
  const signal = AbortSignal.timeout(timeout)
  const response = await fetch(address, {
    method: 'POST',
    headers: { 'content-type': 'application/timestamp-query', accept: 'application/timestamp-reply' },
    body: new Uint8Array(query),
    redirect: 'manual',
    signal,
  }).catch((error: Error) => {
    throw new Passing(signal.aborted ? `it did not answer within ${timeout / 1000} s` : whyNoAnswer(error), {
      cause: error,
    })
  })
  const answer = await readLimited(response, mostBytes).catch((error: Error) => {
    if (error instanceof TooLong) throw error
    throw new Passing(signal.aborted ? `it did not answer within ${timeout / 1000} s` : whyNoAnswer(error), {
      cause: error,
    })
  })
  if (response.status >= 500) throw new Passing(`it answered with the status ${response.status}`)
  if (response.status !== 200) throw new Error(`it answered with the status ${response.status}`)
  const [type = ''] = (response.headers.get('content-type') ?? '').split(';')
  if (type.trim().toLowerCase() !== 'application/timestamp-reply')
    throw new Error(`it answered with ${type === '' ? 'something unnamed' : type}, which is no time-stamp reply`)
  return answer
}

const describe = (address: URL, error: unknown): StampClientError =>
  new StampClientError(
    address.href,
    `the time-stamp authority ${address.href} gives no stamp: ${(error as Error).message}`,
    'Check the address and the connection. What is sealed can be stamped later with "witnessmark stamp".',
    { cause: error },
  )
