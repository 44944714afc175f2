/** The report on a packet as a tagged PDF, in the order and words of the HTML report. */
import type { Pictures } from '../findings/pictures.ts'
import type { Report } from '../findings/report.ts'
import type { DayView, EventView, TimelineView } from './events-view.ts'
import { findRange } from './html-timeline.ts'
import {
  colors,
  leading,
  looks,
  putHeading,
  putLabels,
  putLines,
  putTable,
  type Row,
  type Span,
  whole,
} from './pdf-blocks.ts'
import { figureSpan, putFigures } from './pdf-figures.ts'
import type { Fonts } from './pdf-fonts.ts'
import type { Look } from './pdf-letters.ts'
import { type Element, makePaper, type Paper, sheet } from './pdf-paper.ts'
import { describeLeft } from './picture-words.ts'
import {
  type ActionsView,
  type ContrastView,
  type ExposureView,
  type FieldView,
  type FileView,
  type FindingsView,
  type FindingView,
  type ListView,
  type ReportView,
  viewReport,
} from './view.ts'

export interface PdfOptions {
  /** As `readReportFonts` of `witnessmark/io` gives them, or others of a licence that allows embedding. */
  fonts: Fonts
  /** As `drawEvidence` gives them; without them the report has none. */
  pictures?: Pictures
}

/**
 * The whole report on letter paper: tagged (language, title, headings, lists, tables with heading cells, figures with
 * alternative text), with bookmarks, page numbers, and the verdict and the rulebook's digest beneath each page.
 *
 * Characters that the fonts have no letter for, and letters that run from right to left, are written as their code
 * points. Dates inside are those of the day of review, so the same report, pictures and fonts give the same bytes.
 */
export async function renderPdf(report: Report, { fonts, pictures }: PdfOptions): Promise<Uint8Array> {
  const view = viewReport(report, { showWorking: true })
  const { rulebook } = report
  const subject = `${view.word}: ${view.head.findings}; reviewed ${view.head.reviewed}`
  const paper = await makePaper(fonts, { title: view.title, subject, day: report.reviewed })
  writeHead(paper, view)
  for (const section of listSections(paper, view, pictures ?? null)) {
    const element = paper.add(paper.root, 'Sect')
    paper.gap(16)
    putHeading(paper, element, 2, section.heading, looks.section)
    section.write(element)
  }
  return paper.finish((page, of) => ({
    left: [
      `${view.word}: ${view.title}, as of ${report.reviewed}`,
      `Rulebook ${rulebook.name} ${rulebook.version}, SHA-256 ${rulebook.sha256}`,
    ],
    right: `page ${page} of ${of}`,
  }))
}

interface Section {
  heading: string
  write(element: Element): void
}

function listSections(paper: Paper, view: ReportView, pictures: Pictures | null): Section[] {
  const { actions, findings, exposure, summaries, problems, timeline, codes, files, rulebook, cautions } = view
  const sections: Section[] = []
  const add = (heading: string, write: Section['write']) => sections.push({ heading, write })
  const addList = (list: ListView) => add(list.heading, (element) => writeList(paper, element, list.lines))
  if (actions.length > 0) add('What would settle it', (element) => writeActions(paper, element, actions))
  for (const [index, one] of findings.entries()) {
    add(one.heading, (element) => {
      writeFindings(paper, element, one, pictures)
      if (pictures === null || pictures.left === 0 || index < findings.length - 1) return
      putLines(paper, paper.add(element, 'P'), describeLeft(pictures.left), looks.quiet, whole)
    })
  }
  if (exposure !== null) add(exposure.heading, (element) => writeExposure(paper, element, exposure))
  if (timeline !== null) add(timeline.heading, (element) => writeTimeline(paper, element, timeline))
  if (codes !== null) add(codes.heading, (element) => writeCodes(paper, element, codes))
  for (const list of summaries) addList(list)
  if (problems !== null) addList(problems)
  add(files.heading, (element) => writeFiles(paper, element, files.files, view.head.digest))
  add(rulebook.heading, (element) => writeFields(paper, element, rulebook.fields, whole))
  addList(cautions)
  return sections
}

const toned = (look: Look, verdict: keyof typeof colors): Look => ({ ...look, weight: 'bold', color: colors[verdict] })

function writeHead(paper: Paper, { word, verdict, title, meaning, head }: ReportView): void {
  const element = paper.add(paper.root, 'Sect')
  const stamp: Look = { weight: 'bold', size: 15, color: colors[verdict] }
  const height = leading(stamp) + 10
  const mark = paper.add(element, 'P')
  const width = paper.letters.measure(word, stamp) + 28
  paper.put({
    height: height + 8,
    keep: true,
    draw(y) {
      paper.decorate((document) => {
        document.rect(sheet.left, y, sheet.right - sheet.left, 4).fill(colors[verdict])
        document
          .rect(sheet.left + 0.75, y + 10, width, height - 6)
          .lineWidth(1.5)
          .strokeColor(colors[verdict])
          .stroke()
      })
      paper.draw(mark, [{ text: word, x: sheet.left + 14, y: y + 13, look: stamp }])
    },
  })
  paper.gap(4)
  const heading = paper.add(element, 'H1')
  putLines(paper, heading, title, looks.title, whole, { keep: true, first: () => paper.bookmark(title, 0) })
  putLines(paper, paper.add(element, 'P'), meaning, { ...looks.body, size: 10.5 }, whole, { keep: true })
  paper.gap(5)
  const fields = { Vehicle: head.vehicle, Files: head.files, Findings: head.findings, Reviewed: head.reviewed }
  writeFields(
    paper,
    element,
    Object.entries(fields).map(([label, text]) => ({ label, lines: [text] })),
    whole,
  )
}

function writeFields(
  paper: Paper,
  parent: Element,
  fields: readonly FieldView[],
  span: Span,
  beside?: (y: number, height: number) => void,
): void {
  putLabels(
    paper,
    parent,
    fields.map(({ label, lines }) => ({
      label,
      labelLook: looks.quiet,
      lines: lines.map((text) => ({ text, look: looks.body })),
    })),
    span,
    { column: 52, ...(beside ? { beside } : {}) },
  )
}

function writeList(paper: Paper, parent: Element, lines: readonly string[]): void {
  putLabels(
    paper,
    parent,
    lines.map((text) => ({ label: '•', labelLook: looks.body, lines: [{ text, look: looks.body }] })),
    whole,
    { column: 11 },
  )
}

function writeActions(paper: Paper, parent: Element, lists: readonly ActionsView[]): void {
  for (const { heading, items } of lists) {
    paper.gap(5)
    putHeading(paper, parent, 3, heading, looks.strong)
    putLabels(
      paper,
      parent,
      items.map(({ word, verdict, what, from, settles }) => ({
        label: word,
        labelLook: toned(looks.quiet, verdict),
        lines: [
          { text: what, look: looks.body },
          { text: `${from === '' ? '' : `${from}; `}settles ${settles}`, look: looks.quiet },
        ],
      })),
      whole,
      { column: 52 },
    )
  }
}

function writeFindings(paper: Paper, parent: Element, { groups }: FindingsView, pictures: Pictures | null): void {
  for (const { question, findings } of groups) {
    paper.gap(8)
    putHeading(paper, parent, 3, question, looks.group)
    for (const finding of findings) writeFinding(paper, paper.add(parent, 'Sect'), finding, pictures)
  }
}

const inset = 12

function writeFinding(paper: Paper, element: Element, finding: FindingView, pictures: Pictures | null): void {
  const { number, verdict, word, reason, fields, contrasts } = finding
  const beside = (y: number, height: number) =>
    paper.decorate((document) => document.rect(sheet.left, y, 3, height + 0.2).fill(colors[verdict]))
  const span = { x: sheet.left + inset, width: sheet.right - sheet.left - inset }
  paper.gap(5)
  const tag = paper.add(element, 'P')
  putLines(paper, tag, `${word}, no. ${number}`, toned(looks.quiet, verdict), span, { keep: true, beside })
  putLines(paper, paper.add(element, 'H4'), reason, looks.finding, span, {
    keep: true,
    beside,
    first: () => paper.bookmark(`${word} ${number}: ${shorten(reason)}`, 1),
  })
  paper.put({ height: 3, keep: true, draw: (y) => beside(y, 3) })
  if (contrasts.length > 0) writeContrasts(paper, element, contrasts, span, beside)
  writeFields(paper, element, fields, span, beside)
  if (pictures !== null) putFigures(paper, element, finding, pictures, figureSpan(span.x), beside)
}

/** Both readings under one another, each behind which of the two it is; pages stand beside each other further down. */
function writeContrasts(
  paper: Paper,
  parent: Element,
  contrasts: readonly ContrastView[],
  span: Span,
  beside: (y: number, height: number) => void,
): void {
  for (const { what, sides } of contrasts) {
    putLines(paper, paper.add(parent, 'P'), what, looks.quiet, span, { keep: true, beside })
    const items = sides.map(({ label, text }) => ({
      label,
      labelLook: looks.quiet,
      lines: [{ text, look: looks.body }],
    }))
    putLabels(paper, parent, items, span, { column: 110, beside })
  }
  paper.put({ height: 3, keep: true, draw: (y) => beside(y, 3) })
}

const shorten = (text: string): string => ([...text].length > 70 ? `${[...text].slice(0, 69).join('')}…` : text)

function writeExposure(paper: Paper, parent: Element, { parties }: ExposureView): void {
  for (const { party, counts, to } of parties) {
    paper.gap(4)
    putHeading(paper, parent, 3, `${party}: ${counts}`, looks.strong)
    putLabels(
      paper,
      parent,
      to.map(({ word, verdict, what, checks }) => ({
        label: word,
        labelLook: toned(looks.quiet, verdict),
        lines: [{ text: `${what} (${checks})`, look: looks.body }],
      })),
      whole,
      { column: 52 },
    )
  }
}

function writeTimeline(paper: Paper, parent: Element, { note, days }: TimelineView): void {
  const text = `${note} In the strips, pale is when it may have gone on, and solid when it certainly did.`
  putLines(paper, paper.add(parent, 'P'), text, looks.quiet, whole)
  for (const day of days) {
    paper.gap(6)
    putHeading(paper, parent, 3, day.day, looks.strong)
    const rows = day.events.map((event) => rowOf(paper, event, day))
    putTable(paper, parent, timelineColumns, rows, (y) => writeHours(paper, day, y))
  }
}

const strip = { x: sheet.right - 110, width: 110 }
const timelineColumns = [
  { name: 'Time', width: 126 },
  { name: 'Event', width: 158 },
  { name: 'File', width: 110 },
]

/** The hours at which the strips begin and end. */
function writeHours(paper: Paper, { events }: DayView, y: number): void {
  const range = findRange(events)
  if (range === null) return
  const look = { ...looks.quiet, size: 7 }
  const [first, last] = range.map((hour) => `${String(hour).padStart(2, '0')}:00`) as [string, string]
  paper.decorate((document) => {
    document.font(look.weight).fontSize(look.size).fillColor(look.color)
    document.text(first, strip.x, y, { lineBreak: false })
    document.text(last, strip.x + strip.width - paper.letters.measure(last, look), y, { lineBreak: false })
  })
}

function rowOf(paper: Paper, { time, what, file, possible, certain }: EventView, { events }: DayView): Row {
  const range = findRange(events)
  const bar = (document: PDFKit.PDFDocument, hours: EventView['possible'], y: number, opacity: number) => {
    if (range === null || hours === null) return
    const at = (hour: number) =>
      strip.x + (strip.width * (Math.min(range[1], Math.max(range[0], hour)) - range[0])) / (range[1] - range[0])
    const width = Math.max(1.5, at(hours[1]) - at(hours[0]))
    document.rect(at(hours[0]), y, width, 6).fillOpacity(opacity).fill(colors.link).fillOpacity(1)
  }
  return {
    cells: [time, what, file].map((text) => ({ text, look: looks.body })),
    beside: (y) =>
      paper.decorate((document) => {
        if (range === null) return
        document.moveTo(strip.x, y + 5).lineTo(strip.x + strip.width, y + 5)
        document.lineWidth(0.4).strokeColor(colors.line).stroke()
        bar(document, possible, y + 2, 0.35)
        bar(document, certain, y + 2, 1)
      }),
  }
}

function writeCodes(paper: Paper, parent: Element, { rows, none }: NonNullable<ReportView['codes']>): void {
  if (rows.length === 0) {
    putLines(paper, paper.add(parent, 'P'), none, looks.body, whole)
    return
  }
  const columns = [
    { name: 'Code', width: 70 },
    { name: 'Module', width: 120 },
    { name: 'Before', width: 72 },
    { name: 'After', width: 82 },
    { name: 'Text', width: 160 },
  ]
  const body = rows.map(
    ({ code, module, before, after, text }): Row => ({
      cells: [code, module, before, after, text].map((one, index) => ({
        text: one,
        look: index === 0 ? looks.strong : looks.body,
      })),
    }),
  )
  putTable(paper, parent, columns, body)
}

/** So small that a hash stands on one line, to be copied whole. */
const hashLook: Look = { ...looks.quiet, size: 6.5 }

function writeFiles(paper: Paper, parent: Element, files: readonly FileView[], digest: string): void {
  putLines(paper, paper.add(parent, 'P'), `Digest of the packet, over all files: ${digest}`, looks.body, whole)
  paper.gap(3)
  const columns = [
    { name: 'File', width: 122 },
    { name: 'What it is', width: 130 },
    { name: 'SHA-256', width: 252 },
  ]
  const rows = files.map(({ file, kind, size, sha256, problems }): Row => {
    const told = [`${kind}; ${size}.`, ...problems.map((problem) => `Problem: ${problem}`)].join(' ')
    return {
      cells: [
        { text: file, look: looks.strong },
        { text: told, look: looks.body },
        { text: sha256 === '' ? 'not read' : sha256, look: hashLook },
      ],
    }
  })
  putTable(paper, parent, columns, rows)
}
