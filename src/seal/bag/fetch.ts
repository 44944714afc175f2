/** fetch.txt (RFC 8493, section 2.2.3): files of the payload that are to be got from elsewhere. Nothing is fetched here. */
import { findEscape, type ManifestFault, readWrittenPath } from './manifest.ts'

/** Where it stands in the bag. */
export const fetchFile = 'fetch.txt'

/** A line is a URL without white space, a length in bytes or `-`, and a path, with white space between. */
const line = /^[ \t]*\S+[ \t]+(?:\d+|-)[ \t]+(.+)$/

/** The paths that it lists, as manifests spell them, and what is wrong with its lines. */
export function parseFetch(text: string): { paths: ReadonlySet<string>; faults: readonly ManifestFault[] } {
  const paths = new Set<string>()
  const faults: ManifestFault[] = []
  for (const [index, raw] of text
    .replace(/^\ufeff/, '')
    .split(/\r\n|\r|\n/)
    .entries()) {
    if (raw.trim() === '') continue
    const written = line.exec(raw)?.[1]
    if (written === undefined) {
      faults.push({ code: 'line-malformed', text: `line ${index + 1} of ${fetchFile} is no address, length and path` })
      continue
    }
    const { path } = readWrittenPath(written)
    const outside = findEscape(path, false)
    if (outside === null) paths.add(path)
    else
      faults.push({ code: 'path-escapes', text: `line ${index + 1} of ${fetchFile} names ${path}, which ${outside}` })
  }
  return { paths, faults }
}
