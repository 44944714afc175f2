/** A certification for a court as plain text, to be filled in by hand or in an editor. */
import type { CourtStatement, StatementBlock } from '../seal/statement.ts'
import { makeSheet, type Sheet, type SheetOptions, span } from './sheet.ts'

/** The whole form. Pure; text from the packet is neutralised. */
export function renderStatement(statement: CourtStatement, options: SheetOptions): string {
  const sheet = makeSheet(options)
  sheet.write([span(statement.title, 'strong')])
  for (const text of statement.preface) {
    sheet.gap()
    sheet.write(text)
  }
  for (const { heading, blocks } of statement.sections) {
    sheet.gap()
    sheet.write([span(heading, 'strong')])
    for (const block of blocks) {
      sheet.gap()
      writeBlock(sheet, block)
    }
  }
  return sheet.toString()
}

const blankLine = '_'.repeat(40)

function writeBlock(sheet: Sheet, block: StatementBlock): void {
  switch (block.kind) {
    case 'paragraph':
      sheet.write(block.text, { first: '  ' })
      return
    case 'list':
      for (const item of block.items) sheet.write(item, { first: '  - ', rest: '    ' })
      return
    case 'choices':
      for (const item of block.items) sheet.write(item, { first: '  [ ] ', rest: '      ' })
      return
    case 'blanks':
      for (const label of block.labels) {
        sheet.write(`${label}:`, { first: '  ' })
        sheet.write(blankLine, { first: '    ' })
      }
      return
    case 'fields':
      for (const [label, value] of block.fields) sheet.label(label, value, { indent: 2, column: 24 })
      return
    case 'commands':
      for (const line of block.lines) sheet.write(line, { first: '    ', rest: '      ' })
  }
}
