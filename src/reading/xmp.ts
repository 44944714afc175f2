/**
 * The metadata of a file as XMP (ISO 16684-1): properties of RDF, each written as an element or as an attribute of its
 * description. Prefixes are those that the standard prefers, which programs keep to.
 */
import { SaxesParser } from 'saxes'

export interface Xmp {
  tool?: string
  documentId?: string
  instanceId?: string
  saves?: { action?: string; program?: string; at?: string }[]
}

const mostCharacters = 1_000_000
const mostSaves = 50
const longest = 300

const properties: Readonly<Record<string, 'tool' | 'documentId' | 'instanceId'>> = {
  'xmp:CreatorTool': 'tool',
  'xap:CreatorTool': 'tool',
  'xmpMM:DocumentID': 'documentId',
  'xapMM:DocumentID': 'documentId',
  'xmpMM:InstanceID': 'instanceId',
  'xapMM:InstanceID': 'instanceId',
}
const events: Readonly<Record<string, 'action' | 'program' | 'at'>> = {
  'stEvt:action': 'action',
  'stEvt:softwareAgent': 'program',
  'stEvt:when': 'at',
}

class Stop extends Error {}

/** What it says of who made the file. Damage ends the reading; what stands before it counts. */
export function readXmp(text: string): Xmp {
  const found: Xmp = {}
  const parser = new SaxesParser({ xmlns: false })
  const open: string[] = []
  let value = ''
  const keep = (name: string, text: string) => {
    const plain = text
      .replace(/[\u0000-\u001F\u007F]+/g, ' ')
      .trim()
      .slice(0, longest)
    if (plain === '') return
    const property = properties[name]
    if (property !== undefined) found[property] ??= plain
    const event = events[name]
    const last = found.saves?.at(-1)
    if (event !== undefined && last !== undefined) last[event] ??= plain
  }
  const isEvent = (): boolean => open.at(-1) === 'rdf:li' && open.some((name) => name.endsWith(':History'))
  parser.on('opentag', ({ name, attributes }) => {
    open.push(name)
    value = ''
    if (isEvent() && (found.saves?.length ?? 0) < mostSaves) found.saves = [...(found.saves ?? []), {}]
    for (const [key, text] of Object.entries(attributes as Record<string, string>)) keep(key, text)
  })
  parser.on('text', (text) => {
    value += text
  })
  parser.on('closetag', ({ name }) => {
    keep(name, value)
    value = ''
    open.pop()
  })
  parser.on('doctype', () => {
    throw new Stop()
  })
  parser.on('error', () => {
    throw new Stop()
  })
  try {
    parser.write(text.slice(0, mostCharacters)).close()
  } catch (error) {
    if (!(error instanceof Stop)) throw error
  }
  const saves = found.saves?.filter((save) => Object.keys(save).length > 0)
  if (saves === undefined || saves.length === 0) delete found.saves
  else found.saves = saves
  return found
}
