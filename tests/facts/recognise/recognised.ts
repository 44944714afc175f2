/** Typed or drawn pages → facts, as the review does it. */
import type { DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import type { Page, Reading } from '../../../src/facts/reading.ts'
import { recogniseDocument } from '../../../src/facts/recognise/document.ts'
import { readSheet, type Sheet } from '../../../src/facts/recognise/sheet.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { typed } from '../../reading/page-builder.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

/** Lines of a typed page; indentation that all share is dropped, so that tests can stand indented. */
export function lines(text: string): string[] {
  const all = text.replace(/^\n|\n\s*$/g, '').split('\n')
  const indent = Math.min(...all.filter((line) => line.trim() !== '').map((line) => line.search(/\S/)))
  return all.map((line) => line.slice(indent))
}

/** The sheet of one typed page, or of several set apart by lines of `\f`. */
export function sheetOf(text: string): Sheet {
  return readSheet(layOut(text.split('\f').map((part, i) => typed(lines(part), i + 1))), vocabulary)
}

/** The facts of a typed page; `kind` as a packet may declare it. */
export function recognise(text: string, kind?: DocumentKind, file = 'paper.pdf'): DocumentFacts {
  return recognisePages(
    text.split('\f').map((part, i) => typed(lines(part), i + 1)),
    kind,
    file,
  )
}

export function recognisePages(
  pages: Page[],
  kind?: DocumentKind,
  file = 'paper.pdf',
  rest: Partial<Reading> = {},
): DocumentFacts {
  const reading: Reading = { media: 'application/pdf', pages, pageCount: pages.length, problems: [], ...rest }
  const source = { file, sha256: '0'.repeat(64), bytes: 1, media: reading.media, ...(kind ? { kind } : {}) }
  return recogniseDocument(reading, layOut(pages), source, vocabulary)
}
