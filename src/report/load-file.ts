/**
 * The load file of an export: every file of it, a row each, for programs that take records in. Its columns keep their names
 * and their order; new ones come at the end. Written as the findings are: see `csv.ts`.
 */
import type { HandedFile } from '../archive/index.ts'
import type { DocumentFacts } from '../facts/document.ts'
import type { Report } from '../findings/report.ts'
import { writeRecords } from './csv.ts'

type Column = readonly [heading: string, cell: (file: HandedFile, facts: DocumentFacts | null) => string]

const join = (values: readonly string[]): string => values.join(' | ')

const columns: readonly Column[] = [
  ['accession', ({ packet }) => packet.accession],
  ['path', ({ path }) => path ?? ''],
  ['original path', ({ original }) => original ?? ''],
  ['bytes', ({ bytes }) => (bytes === null ? '' : String(bytes))],
  ['sha256', ({ sha256 }) => sha256 ?? ''],
  ['role', roleOf],
  ['kind', (_, facts) => facts?.kind ?? ''],
  ['media type', (_, facts) => facts?.media ?? ''],
  ['vin', ({ packet }, facts) => facts?.vin ?? join([...packet.vins, ...packet.declaredVins])],
  ['job', ({ packet }, facts) => facts?.jobNumber ?? packet.job ?? ''],
  ['claim', ({ packet }, facts) => facts?.claimNumber ?? packet.claim ?? ''],
  ['shop', ({ packet }) => packet.shop ?? ''],
  ['received', ({ packet }) => packet.receivedAt],
  ['verdict', ({ packet }) => packet.verdict ?? ''],
  ['reviewed', ({ packet }) => packet.reviewed ?? ''],
  ['rulebook', ({ packet }) => packet.rulebook ?? ''],
  ['holds', ({ packet }) => join(packet.holds)],
  ['packet', ({ packet }) => packet.name],
  ['original sha256', ({ originalSha256 }) => originalSha256 ?? ''],
  ['note', ({ note }) => note],
]

function roleOf({ path, original }: HandedFile): string {
  if (path === null) return 'left out'
  if (path.startsWith('data/seals/')) return 'seal'
  return original === null ? 'report' : 'evidence'
}

/** Names of the columns, in their order. */
export const loadFileColumns: readonly string[] = columns.map(([heading]) => heading)

/** Pure: the same files give the same text. `reports`: the last report by accession; its facts stand in the rows. */
export function renderLoadFile(files: readonly HandedFile[], reports: ReadonlyMap<string, Report>): string {
  const rows = files.map((file) => {
    const facts = findFacts(file, reports.get(file.packet.accession))
    return columns.map(([, cell]) => cell(file, facts))
  })
  return writeRecords([loadFileColumns, ...rows])
}

/** In a bag, files lie in `data/`; the report names them as they were received. */
function findFacts({ original, originalSha256, sha256 }: HandedFile, report: Report | undefined): DocumentFacts | null {
  if (original === null) return null
  const digest = originalSha256 ?? sha256
  const same = report?.documents.filter((document) => document.sha256 === digest) ?? []
  return same.find(({ file }) => file === original || `data/${file}` === original) ?? same[0] ?? null
}
