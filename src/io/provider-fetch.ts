/** Asks a sign-in provider over HTTP: one answer of bounded size, and never somewhere else than where it was asked. */
import { readLimited, whyNoAnswer } from './http-answer.ts'

/** More than any configuration, key set or token needs. */
const mostBytes = 1024 * 1024

/** As `fetch`, whose `signal` bounds the time. Redirects are not followed. Rejects where nothing, or too much, comes back. */
export async function askProvider(url: string, options: RequestInit): Promise<Response> {
  const response = await fetch(url, { ...options, redirect: 'manual' }).catch((error: Error) => {
    throw new Error(reasonOf(error), { cause: error })
  })
  const bytes = await readLimited(response, mostBytes)
  const { status, headers } = response
  return new Response(bytes.length === 0 ? null : new Uint8Array(bytes), { status, headers })
}

const reasonOf = (error: Error): string =>
  error.name === 'TimeoutError' ? 'it did not answer in time' : whyNoAnswer(error)
