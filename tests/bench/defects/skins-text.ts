/** Sets a sheet as plain text, as a table of cells, as JSON or as XML. */
import type { Block, Sheet } from './sheet.ts'

type Table = Extract<Block, { kind: 'table' }>

function tableLines({ heading, columns, rows }: Table): string[] {
  const widths = columns.map(
    (column, index) => Math.max(column.length, ...rows.map((row) => row[index]?.length ?? 0)) + 3,
  )
  const line = (cells: readonly string[]) =>
    cells
      .map((cell, index) => cell.padEnd(widths[index] ?? 0))
      .join('')
      .trimEnd()
  return [
    ...(heading ? [heading.toUpperCase()] : []),
    line(columns),
    '-'.repeat(
      Math.min(
        78,
        widths.reduce((sum, part) => sum + part, 0),
      ),
    ),
    ...rows.map(line),
  ]
}

/** Lines of fixed width; `layout` chooses how labels are set off. */
export function setText(sheet: Sheet, layout: number): string {
  const label = layout % 2 === 0 ? (text: string) => `${text.padEnd(24)}: ` : (text: string) => `${text}: `
  const lines = [sheet.issuer, sheet.title.toUpperCase(), '='.repeat(60)]
  const add = (block: Block): void => {
    if (block.kind === 'section') {
      if (block.heading !== null) lines.push(block.heading)
      block.blocks.forEach(add)
      return
    }
    if (block.kind === 'fields') lines.push(...block.rows.map(([name, value]) => label(name) + value))
    else if (block.kind === 'table') lines.push(...tableLines(block))
    else lines.push(...block.lines)
    lines.push('')
  }
  sheet.blocks.forEach(add)
  return `${[...lines, 'End of report', 'Page 1 of 1'].join('\r\n')}\r\n`
}

const cell = (text: string): string => (/[",\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text)

export function setCsv(sheet: Sheet): string {
  const row = (cells: readonly string[]) => cells.map(cell).join(',')
  const lines = [row(['Report', sheet.title]), row(['Issued by', sheet.issuer])]
  const add = (block: Block): void => {
    if (block.kind === 'section') {
      lines.push('', ...(block.heading === null ? [] : [row([block.heading])]))
      block.blocks.forEach(add)
    } else if (block.kind === 'fields') lines.push(...block.rows.map(row))
    else if (block.kind === 'table') lines.push('', row(block.columns), ...block.rows.map(row))
    else lines.push(...block.lines.map((line) => row(['Note', line])))
  }
  sheet.blocks.forEach(add)
  return `${lines.join('\r\n')}\r\n`
}

/** `Scan date` → `scanDate` */
const key = (label: string): string =>
  label
    .replaceAll(/[^A-Za-z0-9 ]/g, ' ')
    .trim()
    .split(/ +/)
    .map((word, index) =>
      index === 0 ? word.toLowerCase() : `${word[0]?.toUpperCase()}${word.slice(1).toLowerCase()}`,
    )
    .join('')

const objectOf = ({ columns, rows }: Table) =>
  rows.map((row) => Object.fromEntries(columns.map((column, index) => [key(column), row[index] ?? ''])))

function objectOfBlocks(blocks: readonly Block[]): Record<string, unknown> {
  const made: Record<string, unknown> = {}
  for (const block of blocks)
    if (block.kind === 'fields')
      Object.assign(made, Object.fromEntries(block.rows.map(([label, value]) => [key(label), value])))
    else if (block.kind === 'table') made[key(block.heading ?? 'rows')] = objectOf(block)
    else if (block.kind === 'lines') made.notes = block.lines
    else made[`${block.name}s`] = [...((made[`${block.name}s`] as unknown[]) ?? []), objectOfBlocks(block.blocks)]
  return made
}

export const setJson = (sheet: Sheet): string =>
  `${JSON.stringify({ report: sheet.title, issuedBy: sheet.issuer, ...objectOfBlocks(sheet.blocks) }, null, 2)}\n`

const escapeXml = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('>', '&gt;')

const element = (name: string, text: string): string => `<${name}>${escapeXml(text)}</${name}>`

function elementsOf(blocks: readonly Block[]): string[] {
  return blocks.flatMap((block) => {
    if (block.kind === 'fields') return block.rows.map(([label, value]) => element(key(label), value))
    if (block.kind === 'lines') return block.lines.map((line) => element('note', line))
    if (block.kind === 'section') return [`<${block.name}>`, ...elementsOf(block.blocks), `</${block.name}>`]
    const name = key(block.heading ?? 'rows')
    const rows = objectOf(block).map(
      (row) =>
        `<entry>${Object.entries(row)
          .map(([tag, text]) => element(tag, text))
          .join('')}</entry>`,
    )
    return [`<${name}>`, ...rows, `</${name}>`]
  })
}

export function setXml(sheet: Sheet): string {
  const inside = [element('title', sheet.title), element('issuedBy', sheet.issuer), ...elementsOf(sheet.blocks)]
  return `${['<?xml version="1.0" encoding="UTF-8"?>', '<document>', ...inside.map((line) => `  ${line}`), '</document>'].join('\n')}\n`
}
