/** A certification for a court as a tagged PDF, to be printed and signed. */
import type { CourtStatement, StatementBlock } from '../seal/statement.ts'
import { colors, looks, putHeading, putLabels, putLines, strike, whole } from './pdf-blocks.ts'
import type { Fonts } from './pdf-fonts.ts'
import { type Element, makePaper, type Paper } from './pdf-paper.ts'

/** The whole form on letter paper; `day` (`YYYY-MM-DD`) is the day of its dates. Same input, same bytes. */
export async function renderStatementPdf(
  statement: CourtStatement,
  { fonts, day, subject }: { fonts: Fonts; day: string; subject: string },
): Promise<Uint8Array> {
  const paper = await makePaper(fonts, { title: statement.title, subject, day })
  const head = paper.add(paper.root, 'Sect')
  const heading = paper.add(head, 'H1')
  putLines(paper, heading, statement.title, looks.title, whole, {
    keep: true,
    first: () => paper.bookmark(statement.title, 0),
  })
  for (const text of statement.preface) {
    paper.gap(6)
    putLines(paper, paper.add(head, 'P'), text, looks.body, whole)
  }
  for (const section of statement.sections) {
    const element = paper.add(paper.root, 'Sect')
    paper.gap(14)
    putHeading(paper, element, 2, section.heading, looks.section)
    for (const block of section.blocks) {
      writeBlock(paper, element, block)
      paper.gap(6)
    }
  }
  return paper.finish((page, of) => ({
    left: [statement.title, subject],
    right: `page ${page} of ${of}`,
  }))
}

function writeBlock(paper: Paper, element: Element, block: StatementBlock): void {
  switch (block.kind) {
    case 'paragraph':
      putLines(paper, paper.add(element, 'P'), block.text, looks.body, whole)
      return
    case 'list':
      putItems(paper, element, '–', block.items)
      return
    case 'choices':
      putItems(paper, element, '[  ]', block.items)
      return
    case 'blanks':
      for (const label of block.labels) putBlank(paper, element, label)
      return
    case 'fields':
      putLabels(
        paper,
        element,
        block.fields.map(([label, value]) => ({
          label,
          labelLook: looks.quiet,
          lines: [{ text: value, look: looks.body }],
        })),
        whole,
        { column: 120 },
      )
      return
    case 'commands':
      for (const line of block.lines)
        putLines(paper, paper.add(element, 'P'), line, looks.body, { x: whole.x + 12, width: whole.width - 12 })
  }
}

function putItems(paper: Paper, element: Element, label: string, items: readonly string[]): void {
  const lines = (text: string) => [{ text, look: looks.body }]
  putLabels(
    paper,
    element,
    items.map((text) => ({ label, labelLook: looks.body, lines: lines(text) })),
    whole,
    { column: 22 },
  )
}

/** A label above a line to write on. */
function putBlank(paper: Paper, element: Element, label: string): void {
  putLines(paper, paper.add(element, 'P'), `${label}:`, looks.quiet, whole, { keep: true })
  paper.put({
    height: 24,
    keep: false,
    draw: (y) => paper.decorate((document) => strike(document, y + 20, 0.5, colors.quiet)),
  })
}
