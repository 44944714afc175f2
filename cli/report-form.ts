/** The forms that a report can be written in. */
import { extname } from 'node:path'
import {
  drawEvidence,
  findNearestName,
  formatJson,
  type Pictures,
  type Report,
  renderCsv,
  renderHtml,
  renderPdf,
  renderText,
  type SheetOptions,
  type Storage,
} from '../src/index.ts'
import { startDrawing } from '../src/io/drawing-process.ts'
import { fileSystem } from '../src/io/files.ts'
import { readReportFonts } from '../src/io/shipped.ts'
import type { Terminal } from './terminal.ts'
import { UserError } from './user-error.ts'

const forms = ['text', 'json', 'csv', 'html', 'pdf'] as const
export type ReportForm = (typeof forms)[number]

/** "text, json, csv, html, pdf" */
export const formWords = forms.join(', ')

const endings: Record<string, ReportForm> = {
  '.txt': 'text',
  '.json': 'json',
  '.csv': 'csv',
  '.html': 'html',
  '.htm': 'html',
  '.pdf': 'pdf',
}

export interface FormOptions {
  format?: string
  json?: boolean
  output?: string
}

/** What was asked for, else what the ending of the output tells, else text. Throws UserError. */
export function chooseForm(options: FormOptions, terminal: Terminal): ReportForm {
  const form = findForm(options, forms, 'a report')
  if (form === 'pdf' && options.output === undefined && terminal.output.isTerminal)
    throw new UserError('a PDF is nothing for a terminal', null, 'Name a file: --output report.pdf')
  return form
}

/** As `chooseForm`, of the forms of something else; `what` with its article. */
export function findForm<Form extends ReportForm>(
  { format, json, output }: FormOptions,
  known: readonly Form[],
  what: string,
): Form {
  const wanted = json ? 'json' : (format ?? endings[extname(output ?? '').toLowerCase()] ?? 'text')
  if (json && format !== undefined && format !== 'json')
    throw new UserError(`--json and --format ${format} cannot both be`, null, 'Give one of them.')
  const form = known.find((name) => name === wanted)
  if (form !== undefined) return form
  const nearest = findNearestName(wanted, known)
  throw new UserError(
    `there is no form ${wanted} of ${what}`,
    null,
    nearest === null ? `Forms are ${known.join(', ')}.` : `Did you mean --format ${nearest}?`,
  )
}

/** The report in its form; `path` is the packet's on `storage`, from which pictures are drawn. Errors as for `drawEvidence`. */
export async function renderReport(
  form: ReportForm,
  report: Report,
  path: string,
  look: SheetOptions,
  storage: Storage = fileSystem,
): Promise<string | Uint8Array> {
  switch (form) {
    case 'json':
      return formatJson(report)
    case 'csv':
      return renderCsv(report)
    case 'html':
      return renderHtml(report, { pictures: await drawPictures(report, path, storage) })
    case 'pdf':
      return renderPdf(report, { fonts: await readReportFonts(), pictures: await drawPictures(report, path, storage) })
    default:
      return renderText(report, look)
  }
}

async function drawPictures(report: Report, path: string, storage: Storage): Promise<Pictures> {
  const drawing = startDrawing()
  try {
    return await drawEvidence(path, report, { storage, draw: drawing.draw })
  } finally {
    await drawing.close()
  }
}
