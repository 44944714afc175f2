/** The files of a submission in one shape, `packet.yaml` among them. */
import type { DocumentFacts } from '../facts/document.ts'
import type { FilePlace, Place } from '../facts/reading.ts'
import type { FileSide } from './comparison.ts'
import type { Submission } from './submission.ts'

export interface Part extends FileSide {
  /** What it says, to be walked by key. */
  facts: Readonly<Record<string, unknown>>
  /** Where a fact was read: by its dotted path, or that of what it belongs to. */
  evidence: Readonly<Record<string, readonly FilePlace[]>>
  lines: readonly Place[]
}

/** Sorted by name, in code units. */
export function listParts({ report, content, declaration }: Submission): Part[] {
  const documents = report.documents.map((document) => documentPart(document, content[document.file]?.lines ?? []))
  return [...documents, ...declarationPart(declaration)].sort((a, b) => (a.file < b.file ? -1 : 1))
}

function documentPart(document: DocumentFacts, lines: readonly Place[]): Part {
  const { file, sha256, bytes, kind, pages, date } = document
  const evidence = Object.entries(document.evidence).map(([path, places]) => [
    path,
    places.map((place) => ({ file, ...place })),
  ])
  return {
    file,
    sha256,
    bytes,
    kind,
    ...(pages === undefined ? {} : { pages }),
    ...(date === undefined ? {} : { date: date.text }),
    facts: { ...document },
    evidence: Object.fromEntries(evidence),
    lines,
  }
}

function declarationPart(declaration: Submission['declaration']): Part[] {
  if (declaration === null) return []
  const { sha256, bytes, lines, declared } = declaration
  const { places, ...facts } = declared
  const evidence = Object.fromEntries(Object.entries(places).map(([path, place]) => [path, [place]]))
  return [{ file: 'packet.yaml', sha256, bytes, kind: 'declaration', facts, evidence, lines }]
}

/** Places under the dotted path, or under the nearest path above it; the file alone where none was kept. */
export function placesOf({ file, evidence }: Part, path: string): FilePlace[] {
  for (let key = path; key !== ''; key = key.slice(0, Math.max(0, key.lastIndexOf('.')))) {
    const places = Object.hasOwn(evidence, key) ? evidence[key] : undefined
    if (places !== undefined && places.length > 0) return [...places]
  }
  return [{ file, text: '' }]
}

/** What of a file stands in a comparison. */
export function sideOf({ file, sha256, bytes, kind, pages, date }: Part): FileSide {
  return {
    file,
    sha256,
    bytes,
    kind,
    ...(pages === undefined ? {} : { pages }),
    ...(date === undefined ? {} : { date }),
  }
}
