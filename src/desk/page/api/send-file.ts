/** Sends a file with word of how far it is, which `fetch` cannot give. */
import { noConnection, RequestError, readProblem, tokenHeaders } from './request.ts'

interface Following {
  signal: AbortSignal
  /** Told of the bytes sent so far. */
  progress(bytes: number): void
}

/** PUTs a file's bytes. Rejects with `RequestError`. */
export function sendFile(path: string, file: File, { signal, progress }: Following): Promise<void> {
  return new Promise((done, failed) => {
    const request = new XMLHttpRequest()
    const stop = () => request.abort()
    const end = (act: () => void) => () => {
      signal.removeEventListener('abort', stop)
      act()
    }
    request.open('PUT', path)
    request.setRequestHeader('content-type', 'application/octet-stream')
    for (const [name, value] of Object.entries(tokenHeaders())) request.setRequestHeader(name, value)
    request.upload.onprogress = ({ loaded }) => progress(Math.min(loaded, file.size))
    request.onload = end(() => {
      if (request.status >= 200 && request.status < 300) done()
      else failed(new RequestError(readProblem(request.status, request.responseText)))
    })
    request.onerror = end(() => failed(new RequestError(unsent(file.name))))
    request.onabort = end(() => failed(new DOMException('Stopped', 'AbortError')))
    if (signal.aborted) return failed(new DOMException('Stopped', 'AbortError'))
    signal.addEventListener('abort', stop)
    request.send(file)
  })
}

/** A browser does not tell these two apart. */
const unsent = (name: string) => ({
  ...noConnection,
  title: `${name} did not get through`,
  detail: 'The desk does not answer, or the file changed or was moved while it was sent.',
})
