/**
 * Invoices that other firms wrote to the shop: of a sublet calibrator, a glass fitter, a parts dealer.
 *
 * No layout says which firm wrote a paper, but letterheads stand at the top: an invoice whose body names the firm at the
 * top of another invoice, or the declared shop, was written to that firm. Common practice, no source.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'

/** Lines at the top of the first page in which a letterhead stands. */
const headLines = 3

const titleWord =
  /\b(?:tax |final |sublet |service |parts |customer )?(?:invoice|bill|statement|receipt|date|page|no|number)\b/
const saysSublet = /\bsub[- ]?let\b|\bsub[- ]?contract/i
const addressed = /\b(?:bill(?:ed)?|sold|invoiced?|ship(?:ped)?|charged?) to\b|\bcustomer\b|\bclient\b|\baccount\b/i

interface Paper {
  document: DocumentFacts
  lines: readonly string[]
  /** The first words of the firm at the top; null where no name of two words or more stands there. */
  firm: string | null
}

/** The invoices of a packet that firms other than the shop wrote to it, in the order of files. */
export function findSupplierInvoices(packet: Packet): DocumentFacts[] {
  const papers = packet.documents
    .filter((document) => document.kind === 'invoice')
    .map((document): Paper => {
      const lines = (packet.content[document.file]?.lines ?? []).map((line) => line.text)
      return { document, lines, firm: readFirm(lines) }
    })
  const shop = keyOf(packet.declaration?.shop?.name ?? '')
  return papers.filter((paper) => isSupplier(paper, papers, shop)).map((paper) => paper.document)
}

/** True for an invoice that charges for parts alone: it says nothing of work. */
export function chargesPartsAlone({ operations = [] }: DocumentFacts): boolean {
  return operations.length > 0 && operations.every((operation) => operation.part !== undefined)
}

function isSupplier(paper: Paper, papers: readonly Paper[], shop: string | null): boolean {
  if (saysSublet.test(paper.document.file) || paper.lines.slice(0, headLines).some((line) => saysSublet.test(line)))
    return true
  if (shop !== null && namesInBody(paper, shop) !== null) return !namesAtTop(paper, shop)
  return papers.some((other) => other !== paper && isWrittenTo(paper, other))
}

function isWrittenTo(paper: Paper, other: Paper): boolean {
  if (other.firm === null || paper.firm === other.firm) return false
  const mention = namesInBody(paper, other.firm)
  if (mention === null) return false
  const back = paper.firm === null ? null : namesInBody(other, paper.firm)
  // A shop's invoice may name the firm to which the work went.
  return back === null || (addressed.test(mention) && !addressed.test(back))
}

function namesAtTop({ lines }: Paper, firm: string): boolean {
  return lines.slice(0, headLines).some((line) => wordsOf(line).includes(firm))
}

/** The line below the letterhead that names the firm, with the line above it, which may be its label. */
function namesInBody({ lines }: Paper, firm: string): string | null {
  const index = lines.findIndex((line, at) => at >= headLines && wordsOf(line).includes(firm))
  return index < 0 ? null : `${lines[index - 1] ?? ''} ${lines[index] ?? ''}`
}

function readFirm(lines: readonly string[]): string | null {
  for (const line of lines.slice(0, headLines)) {
    const name = wordsOf(line).split(titleWord)[0] ?? ''
    const key = keyOf(name)
    if (key !== null) return key
  }
  return null
}

/** The first three words of a name, of which there must be two. */
function keyOf(name: string): string | null {
  const words = wordsOf(name)
    .split(' ')
    .filter((word) => /^[\p{L}&']+$/u.test(word))
  return words.length < 2 ? null : words.slice(0, 3).join(' ')
}

function wordsOf(text: string): string {
  return text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}&' ]+/gu, ' ')
    .replace(/ +/g, ' ')
    .trim()
}
