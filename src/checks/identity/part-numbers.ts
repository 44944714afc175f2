/** What a packet says of the part numbers of sensors, and how two part numbers stand to each other. */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords } from '../calibrations.ts'
import { findPlaces } from '../places.ts'
import { listCodes } from './bar-codes.ts'
import { namesSensorItself, normaliseSerial, type SensorPlace } from './serial-statements.ts'
import { schemeOf } from './written-numbers.ts'

export interface PartStatement extends SensorPlace {
  file: string
  /** As written. */
  part: string
  /** Whether a calibration record states it, or only a bill or an estimate. */
  inRecord: boolean
  evidence: FilePlace[]
}

/** Part numbers that are stated for one known sensor: that of a bracket or cover is not the sensor's. */
export function collectParts(packet: Packet): PartStatement[] {
  const recorded = calibrationRecords(packet).flatMap(({ document, index, reading }): PartStatement[] => {
    const { sensor, position, part } = reading
    if (part === undefined || sensor === 'other') return []
    const evidence = findPlaces(document, `calibrations.${index}.part`, part)
    return [{ file: document.file, sensor, position, part, inRecord: true, evidence }]
  })
  return [...recorded, ...packet.documents.flatMap(collectBilled)]
}

function collectBilled(document: DocumentFacts): PartStatement[] {
  return (document.operations ?? []).flatMap(({ text, calls, position, part, kind }, index): PartStatement[] => {
    const [sensor, ...more] = calls
    if (part === undefined || sensor === undefined || more.length > 0 || kind !== 'repair') return []
    if (!namesSensorItself(text, sensor)) return []
    const evidence = findPlaces(document, `operations.${index}.part`, part)
    return [{ file: document.file, sensor, position: position ?? null, part, inRecord: false, evidence }]
  })
}

/** Bar codes and lines of other files that show this part number. */
export function findPartElsewhere(packet: Packet, part: string, files: ReadonlySet<string>): FilePlace[] {
  const wanted = normaliseSerial(part)
  if (wanted.length < 5) return []
  return packet.documents.flatMap((document): FilePlace[] => {
    if (files.has(document.file)) return []
    const code = listCodes(document).find(({ text }) => fieldsOf(text).includes(wanted))
    if (code !== undefined) return code.evidence
    const line = packet.content[document.file]?.lines.find(({ text }) => normaliseSerial(text).includes(wanted))
    return line === undefined ? [] : [{ file: document.file, ...line }]
  })
}

/** The whole code, and its fields where it joins several. */
function fieldsOf(text: string): string[] {
  return [text, ...text.split(/[^A-Za-z0-9.-]+/)].map(normaliseSerial)
}

/**
 * `same`: equal, or one only lacks the other's last characters; `revision`: equal but for up to three last characters,
 * which count changes of one part; `other-scheme`: built differently, as the vehicle maker's number for the spare part
 * and the sensor maker's number for the hardware are; `different`: two numbers of one scheme.
 */
export type PartComparison = 'same' | 'revision' | 'other-scheme' | 'different'

const longestRevision = 3
const shortestStem = 5

export function compareParts(a: string, b: string): PartComparison {
  const [x, y] = [normaliseSerial(a), normaliseSerial(b)]
  const shared = [...x].findIndex((character, index) => character !== y[index])
  const stem = shared < 0 ? x.length : shared
  const rests = [x.length - stem, y.length - stem]
  const isShort = Math.max(...rests) <= longestRevision && stem >= shortestStem
  if (isShort && rests.includes(0)) return 'same'
  if (isShort && endsWithRevision(a, x.length - stem) && endsWithRevision(b, y.length - stem)) return 'revision'
  return schemeOf(x) === schemeOf(y) ? 'different' : 'other-scheme'
}

/** A revision stands apart from the number or begins with a letter: "NB-4418-C2", "8601774A". */
function endsWithRevision(part: string, length: number): boolean {
  const last =
    part
      .toUpperCase()
      .split(/[^A-Z0-9]+/)
      .at(-1) ?? ''
  const end = part
    .toUpperCase()
    .replace(/[^A-Z0-9]/g, '')
    .slice(-length)
  return (last.length <= longestRevision && last.length >= length) || /^[A-Z]/.test(end)
}
