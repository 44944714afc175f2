/** `archive export --redact`: derived copies. */
import {
  archives,
  type Derivation,
  deriveFiles,
  formatJson,
  gatherSensitive,
  renderCoveredPdf,
  renderHtml,
} from '../../src/index.ts'
import { startReading } from '../../src/io/reading-process.ts'
import { readReportFonts } from '../../src/io/shipped.ts'
import type { OptionDeclaration } from '../arguments.ts'
import { UserError } from '../user-error.ts'

export const redactOption: OptionDeclaration = {
  type: 'string',
  value: 'WHAT',
  help: 'Hand over derived copies without WHAT: vin, plate, people, places, with commas between.',
}

/** Throws UserError for what cannot be taken out. */
export function readRedactions(text: string | undefined): ReadonlySet<archives.Redaction> {
  const words = text === undefined ? [] : text.split(',').map((word) => word.trim())
  const kinds = words.map((word) => {
    const kind = archives.redactions.find((one) => one === word)
    if (kind === undefined)
      throw new UserError(`--redact knows no "${word}"`, null, `Write some of ${archives.redactions.join(', ')}.`)
    return kind
  })
  return new Set(kinds)
}

/** What goes out. */
export interface Prepared {
  outgoing: archives.OutgoingPacket[]
  redaction: archives.ExportSource['redaction']
  replace(text: string): string
}

/** Derives copies of all packets, with the same stand-ins throughout. */
export async function prepareDerived(
  archive: archives.Archive,
  packets: readonly archives.ExportPacket[],
  kinds: ReadonlySet<archives.Redaction>,
  { draw, show }: Pick<Derivation, 'draw'> & { show(at: number): void },
): Promise<Prepared> {
  const unchecked = packets.find(({ report }) => report === null)
  if (unchecked !== undefined)
    throw new UserError(
      `${unchecked.accession} was never checked, so it is not known what stands in it`,
      null,
      `Check it first: witnessmark archive check ARCHIVE ${unchecked.accession}`,
    )
  const reading = startReading()
  const day = archive.outside.now().toISOString().slice(0, 10)
  const fonts = await readReportFonts()
  const outside: Derivation = {
    objects: archive.outside.storage.objects,
    read: reading.read,
    draw,
    bind: (pages, line) => renderCoveredPdf(pages, line, { fonts, day }),
  }
  try {
    const gathered = []
    for (const packet of packets) gathered.push(await gatherSensitive(packet, outside))
    const sensitive = {
      values: gathered.flatMap((one) => one.sensitive.values),
      places: gathered.flatMap((one) => one.sensitive.places),
    }
    const redactor = archives.makeRedactor(kinds, sensitive)
    const outgoing: archives.OutgoingPacket[] = []
    for (const [at, one] of gathered.entries()) {
      show(at)
      const { packet } = one
      outgoing.push({ packet, ...(await deriveFiles(one, redactor, outside)), ...reportsOf(packet, redactor) })
    }
    const isClean = (bytes: Uint8Array) => redactor.isClean(Buffer.from(bytes).toString('utf8'))
    return { outgoing, redaction: { words: redactor.words, isClean }, replace: redactor.replace }
  } finally {
    await reading.close()
  }
}

/** The report, made anew; none where something is still found in it. */
function reportsOf({ report }: archives.ExportPacket, redactor: archives.Redactor) {
  if (report === null) return { reports: [] }
  const digest = archives.digestOf(report.bytes)
  const redacted = archives.redactReport(report.value, redactor, digest)
  const forms = [
    { path: 'derived-copy-report.json', content: formatJson(redacted) },
    { path: 'derived-copy-report.html', content: renderHtml(redacted) },
  ]
  const clean = forms.filter(({ content }) => redactor.isClean(content))
  return { reports: clean.map(({ path, content }) => ({ path, content: Buffer.from(content) })) }
}
