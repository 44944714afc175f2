/** Plates, job numbers and claim numbers as files write them: collected, compared, and told apart from slips of the pen. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { areLookAlike } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import { findDeclaredPlaces, findPlaces } from '../places.ts'

export type NumberKind = 'plate' | 'jobNumber' | 'claimNumber'

const declaredPaths: Record<NumberKind, string> = { plate: 'vehicle.plate', jobNumber: 'job', claimNumber: 'claim' }

export interface NumberStatement {
  /** Null for what packet.yaml declares. */
  document: DocumentFacts | null
  file: string
  written: string
  evidence: FilePlace[]
}

/** How numbers of one kind are written: what of them counts, and when two that are written differently are one. */
export interface Numbering {
  /** Upper case letters and digits that identify; empty where the text holds none. */
  bare(text: string): string
  same(a: string, b: string): boolean
}

/**
 * The numbers of a kind, in the order of files, the declared one last. A file of no known role counts only where it shows
 * the vehicle's own VIN: a rental agreement names another vehicle rightly.
 */
export function collectNumbers(packet: Packet, kind: NumberKind, numbering: Numbering): NumberStatement[] {
  const read = packet.documents.flatMap((document): NumberStatement[] => {
    const written = document[kind]
    if (written === undefined || (document.kind === 'other' && document.vin !== packet.vehicle.vin)) return []
    return [{ document, file: document.file, written, evidence: findPlaces(document, kind, written) }]
  })
  const { declaration } = packet
  const declared = { plate: declaration?.vehicle?.plate, jobNumber: declaration?.job, claimNumber: declaration?.claim }
  const written = declared[kind]
  const evidence = findDeclaredPlaces(packet, declaredPaths[kind], written)
  const own = written === undefined ? [] : [{ document: null, file: 'packet.yaml', written, evidence }]
  return [...read, ...own].filter((statement) => numbering.bare(statement.written) !== '')
}

/** The statement that most others agree with; among equals the declared one, else the first. */
export function chooseReference(statements: readonly NumberStatement[], { same }: Numbering): NumberStatement | null {
  const votes = (one: NumberStatement) => statements.filter((other) => same(one.written, other.written)).length
  return statements.reduce<NumberStatement | null>((best, one) => {
    if (best === null) return one
    const lead = votes(one) - votes(best)
    return lead > 0 || (lead === 0 && one.document === null && best.document !== null) ? one : best
  }, null)
}

/** Words that a number may be printed over: more would take in the neighbour. */
const longestRun = 4

/** The lines of a file that show the number among their words, wherever they stand. */
export function findMentions(packet: Packet, file: string, written: string, { bare }: Numbering): FilePlace[] {
  const wanted = bare(written)
  if (wanted === '') return []
  return (packet.content[file]?.lines ?? []).flatMap((line) => {
    const words = line.text.split(/\s+/)
    const found = words.some((_, start) =>
      Array.from({ length: longestRun }, (_, more) => words.slice(start, start + more + 1).join(' ')).some(
        (run) => bare(run) === wanted,
      ),
    )
    return found ? [{ file, ...line }] : []
  })
}

export interface NumberDifference {
  /** `same-glyph`: only 0 and O, or 1 and I, which many issuers print alike; `slip`: one character, or two swapped. */
  kind: 'same-glyph' | 'look-alike' | 'slip' | 'different'
  /** The characters at the first place where they differ. */
  found: string
  expected: string
}

const glyphs: Record<string, string> = { O: '0', Q: '0', I: '1' }

/** How two numbers that are not the same differ. `a` and `b` are bare. */
export function compareNumbers(a: string, b: string): NumberDifference {
  const first = [...a].findIndex((character, index) => character !== b[index])
  const at = first < 0 ? a.length : first
  const [found, expected] = [b.charAt(at), a.charAt(at)]
  const plain = (text: string) => text.replace(/[OQI]/g, (character) => glyphs[character] ?? character)
  if (plain(a) === plain(b)) return { kind: 'same-glyph', found, expected }
  if (isOneSlip(a, b, at)) {
    const alike = a.length === b.length && areLookAlike(expected, found) && a.slice(at + 1) === b.slice(at + 1)
    return { kind: alike ? 'look-alike' : 'slip', found, expected }
  }
  return { kind: 'different', found, expected }
}

/** One character changed, left out or put in, or two neighbours swapped; short numbers differ in one character rightly. */
function isOneSlip(a: string, b: string, at: number): boolean {
  if (Math.min(a.length, b.length) < 4) return false
  if (a.length === b.length) {
    if (a.slice(at + 1) === b.slice(at + 1)) return true
    return a.charAt(at) === b.charAt(at + 1) && a.charAt(at + 1) === b.charAt(at) && a.slice(at + 2) === b.slice(at + 2)
  }
  return a.slice(at + 1) === b.slice(at) || a.slice(at) === b.slice(at + 1)
}

/** Statements of one value together, in the order of first mention. */
export function groupByValue(statements: readonly NumberStatement[], { bare }: Numbering): NumberStatement[][] {
  return [...Map.groupBy(statements, (statement) => bare(statement.written)).values()]
}

/** Letters and digits by kind: "AB-4471" and "KX-9022" are built alike, "4471" and "7a3f9b21" are not. */
export function schemeOf(bare: string): string {
  return bare.replace(/\p{L}/gu, 'A').replace(/\d/g, '0')
}
