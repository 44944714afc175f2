/** The document information dictionary (ISO 32000-1, 14.3.3). */
import { readPdfDate } from '../facts/pdf-date.ts'
import type { DocumentInformation } from '../facts/reading.ts'

const longest = 1000

function textOf(value: unknown): string | undefined {
  if (typeof value !== 'string') return undefined
  const text = value.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
  return text === '' ? undefined : text.slice(0, longest)
}

/** From the dictionary as pdfjs gives it. Entries that are empty or of another type are left out. */
export function informationFrom(dictionary: unknown): DocumentInformation {
  const info = (dictionary ?? {}) as Record<string, unknown>
  const entries: [keyof DocumentInformation, string | undefined][] = [
    ['title', textOf(info.Title)],
    ['author', textOf(info.Author)],
    ['creator', textOf(info.Creator)],
    ['producer', textOf(info.Producer)],
    ['created', readPdfDate(textOf(info.CreationDate) ?? '')],
    ['modified', readPdfDate(textOf(info.ModDate) ?? '')],
  ]
  return Object.fromEntries(entries.filter(([, value]) => value !== undefined))
}
