/** Asks a sign-in provider over HTTP: one answer of bounded size, and never somewhere else than where it was asked. */

/** More than any configuration, key set or token needs. */
const mostBytes = 1024 * 1024

/** As `fetch`, whose `signal` bounds the time. Redirects are not followed. Rejects where nothing, or too much, comes back. */
export async function askProvider(url: string, options: RequestInit): Promise<Response> {
  const response = await fetch(url, { ...options, redirect: 'manual' }).catch((error: Error) => {
    throw new Error(reasonOf(error), { cause: error })
  })
  const chunks: Uint8Array[] = []
  let bytes = 0
  for await (const chunk of response.body ?? []) {
    bytes += chunk.length
    if (bytes > mostBytes) throw new Error(`its answer is longer than ${mostBytes} bytes`)
    chunks.push(chunk)
  }
  const { status, headers } = response
  return new Response(bytes === 0 ? null : Buffer.concat(chunks), { status, headers })
}

/** `fetch failed` tells nothing; its cause does: ECONNREFUSED, ENOTFOUND, … */
function reasonOf(error: Error): string {
  if (error.name === 'TimeoutError') return 'it did not answer in time'
  const { cause } = error as { cause?: NodeJS.ErrnoException }
  return `it cannot be reached (${cause?.code ?? cause?.message ?? error.message})`
}
