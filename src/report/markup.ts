/**
 * HTML made of templates that escape whatever is put into them. Text is neutralised as for a terminal first, so that
 * neither controls nor marks that reorder text reach the page.
 */
import { neutralise } from './terminal-text.ts'

const brand = Symbol('markup')

/** HTML that only `html` and `raw` make: what has merely the same shape is no markup. */
export interface Markup {
  readonly [brand]: string
}

export type Content = string | number | Markup | null | readonly Content[]

const entities: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/** Fit for text and for attributes in double quotes: HTML Living Standard, 13.1.2.3 and 13.1.4. */
export function escapeHtml(text: string): string {
  return neutralise(text).replaceAll(/[&<>"']/g, (character) => entities[character] ?? character)
}

/** Markup with its values escaped; lists are put one after the other, null leaves nothing. */
export function html(parts: TemplateStringsArray, ...values: Content[]): Markup {
  return raw(parts.map((part, index) => part + (index < values.length ? write(values[index] as Content) : '')).join(''))
}

/** For text of ours that needs no escaping. */
export function raw(text: string): Markup {
  return { [brand]: text }
}

/** The text of the markup. */
export function writeMarkup(markup: Markup): string {
  return markup[brand]
}

function write(content: Content): string {
  if (content === null) return ''
  if (typeof content === 'string' || typeof content === 'number') return escapeHtml(String(content))
  return isMarkup(content) ? content[brand] : content.map(write).join('')
}

const isMarkup = (content: Markup | readonly Content[]): content is Markup => brand in content
