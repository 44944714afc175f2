/** Text inside HTML. */
import { neutralise } from './terminal-text.ts'

const entities: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' }

/** Text as element content or as the value of a quoted attribute (HTML, 13.1.2), with what could mislead spelt out. */
export function escapeHtml(text: string): string {
  return neutralise(text).replaceAll(/[&<>"']/g, (character) => entities[character] ?? character)
}
