/** Runs the XML parser over a text within limits: no document type, no entities beyond the five, no throw. */
import { SaxesParser } from 'saxes'
import type { Problem } from '../facts/reading.ts'

export interface XmlHandler {
  /** `name` without prefix; attributes without prefixes, in the order written. */
  open: (name: string, attributes: [string, string][]) => void
  text: (text: string) => void
  close: (name: string) => void
}

const deepestElement = 128
const mostElements = 2_000_000
const mostErrors = 50
const chunk = 65_536

class Stop extends Error {}

/**
 * Parses `text` and hands over what it holds; after damage the parser goes on where it can. Problems: `doctype` (not
 * obeyed), `damaged`, `truncated`, each with line and column, `too-deep`, `too-large`.
 */
export function parseXmlEvents(text: string, handler: XmlHandler): Problem[] {
  const problems = new Map<string, Problem>()
  const tell = (code: string, message: string) => {
    if (!problems.has(code)) problems.set(code, { code, message })
  }
  const parser = new SaxesParser({ xmlns: false, position: true })
  let depth = 0
  let elements = 0
  let errors = 0
  let ending = false
  parser.on('error', (error) => {
    errors++
    const message = error.message.slice(0, 200)
    if (ending && depth > 0)
      tell('truncated', `${message} The file ends before its last element is closed; what stands before was read.`)
    else tell('damaged', `${message} What could be read was read.`)
    if (errors > mostErrors) throw new Stop()
  })
  parser.on('doctype', () => {
    tell(
      'doctype',
      `line ${parser.line}: the file carries a document type, which was not obeyed: its entities are not expanded.`,
    )
  })
  parser.on('opentag', (tag) => {
    depth++
    elements++
    if (depth > deepestElement) {
      tell('too-deep', `line ${parser.line}: elements are nested deeper than ${deepestElement}; the rest was left out.`)
      throw new Stop()
    }
    if (elements > mostElements) {
      tell('too-large', `Only the first ${mostElements} elements were read.`)
      throw new Stop()
    }
    const attributes = Object.entries(tag.attributes as Record<string, string>)
    handler.open(
      localName(tag.name),
      attributes.filter(([name]) => !/^xmlns(:|$)|^xsi:/.test(name)).map(([name, value]) => [localName(name), value]),
    )
  })
  parser.on('text', handler.text)
  parser.on('cdata', handler.text)
  parser.on('closetag', (tag) => {
    depth--
    handler.close(localName(tag.name))
  })
  try {
    for (let at = 0; at < text.length; at += chunk) parser.write(text.slice(at, at + chunk))
    ending = true
    parser.close()
  } catch (error) {
    if (!(error instanceof Stop))
      tell('damaged', `line ${parser.line}: ${String(error instanceof Error ? error.message : error).slice(0, 200)}`)
  }
  return [...problems.values()]
}

function localName(name: string): string {
  return name.slice(name.indexOf(':') + 1)
}
