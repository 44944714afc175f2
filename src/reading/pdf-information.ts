/** The document information dictionary (ISO 32000-1, 14.3.3). */
import { readPdfDate } from '../facts/pdf-date.ts'
import type { DocumentInformation } from '../facts/reading.ts'
import { readXmp } from './xmp.ts'

const longest = 1000

function textOf(value: unknown): string | undefined {
  if (typeof value !== 'string') return undefined
  const text = value.replace(/[\u0000-\u001F\u007F]+/g, ' ').trim()
  return text === '' ? undefined : text.slice(0, longest)
}

/**
 * From the dictionary as pdfjs gives it, and the metadata stream of the catalog (14.3.2). Entries that are empty or of
 * another type are left out.
 */
export function informationFrom(dictionary: unknown, metadata?: unknown): DocumentInformation {
  const info = (dictionary ?? {}) as Record<string, unknown>
  const entries: [Exclude<keyof DocumentInformation, 'saves'>, string | undefined][] = [
    ['title', textOf(info.Title)],
    ['author', textOf(info.Author)],
    ['creator', textOf(info.Creator)],
    ['producer', textOf(info.Producer)],
    ['created', readPdfDate(textOf(info.CreationDate) ?? '')],
    ['modified', readPdfDate(textOf(info.ModDate) ?? '')],
  ]
  const told = Object.fromEntries(entries.filter(([, value]) => value !== undefined))
  return typeof metadata === 'string' ? { ...told, ...readXmp(metadata) } : told
}
