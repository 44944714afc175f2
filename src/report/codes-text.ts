/** Trouble codes before and after the work, as text. */
import type { CodeRow, CodesView } from './codes-view.ts'
import { type Sheet, span } from './sheet.ts'
import { measureText } from './terminal-text.ts'

export function writeCodes(sheet: Sheet, { heading, rows, none }: CodesView): void {
  sheet.gap()
  sheet.write([span(heading, 'strong')])
  if (rows.length === 0) {
    sheet.write(none, { first: '  ' })
    return
  }
  const widest = Math.min(28, Math.max(6, ...rows.map(({ module }) => measureText(module))))
  const write = (row: CodeRow, style: 'plain' | 'quiet') =>
    sheet.row(
      [
        { text: row.code, width: 10 },
        { text: row.module, width: widest + 2 },
        { text: row.before, width: 12 },
        { text: row.after, width: 18 },
      ],
      { indent: 2, style },
    )
  write({ code: 'Code', module: 'Module', before: 'Before', after: 'After', text: '' }, 'quiet')
  for (const row of rows) {
    write(row, 'plain')
    if (row.text !== '') sheet.write([span(row.text, 'quiet')], { first: ' '.repeat(12) })
  }
}
