/** Reads a page as XML, which is stricter than HTML: every element closed, every attribute quoted, every sign escaped. */
import { SaxesParser } from 'saxes'

export interface Element {
  name: string
  attributes: Record<string, string>
  /** All text inside, as it stands. */
  text: string
}

/** Elements in the order they begin. Throws where the page is not well formed. */
export function readPage(page: string): Element[] {
  const elements: Element[] = []
  const open: Element[] = []
  const parser = new SaxesParser()
  parser.on('error', (error) => {
    throw error
  })
  parser.on('opentag', ({ name, attributes }) => {
    const element = { name, attributes: attributes as Record<string, string>, text: '' }
    elements.push(element)
    open.push(element)
  })
  parser.on('text', (text) => {
    for (const element of open) element.text += text
  })
  parser.on('closetag', () => void open.pop())
  parser.write(page).close()
  return elements
}
