/** Answers over HTTP: of bounded size, and why none came. */

/** The answer is longer than was allowed. */
export class TooLong extends Error {}

/** Reads an answer whole. Throws TooLong where it is longer than so many bytes; rejects where it breaks off. */
export async function readLimited(response: Response, mostBytes: number): Promise<Uint8Array> {
  const chunks: Uint8Array[] = []
  let bytes = 0
  for await (const chunk of response.body ?? []) {
    bytes += chunk.length
    if (bytes > mostBytes) throw new TooLong(`its answer is longer than ${mostBytes} bytes`)
    chunks.push(chunk)
  }
  return new Uint8Array(Buffer.concat(chunks))
}

/** Why `fetch` failed: "fetch failed" tells nothing, its cause does (ECONNREFUSED, ENOTFOUND, …). */
export function whyNoAnswer(error: Error): string {
  const { cause } = error as { cause?: NodeJS.ErrnoException }
  return `it cannot be reached (${cause?.code ?? cause?.message ?? error.message})`
}
