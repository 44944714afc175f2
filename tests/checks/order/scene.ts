/** Packets in which things happened at stated times: each entry gives one file (or one declared repair) and one event. */
import type { CalibrationReading, DateReading, DocumentFacts, DocumentKind } from '../../../src/facts/document.ts'
import type { Declaration, EventKind, Packet, PacketEvent, Timeline } from '../../../src/packet/packet.ts'
import { makeDate, makeDocument, makeEvent, makePacket, makePlace } from '../packet-builder.ts'

/**
 * `start`, `end`: as for `makeDate`; the end defaults to the start. A scan, alignment or clearing has one date; a
 * calibration has its start and end; a repair is declared, and keeps only the edges given.
 */
export interface Entry {
  kind: EventKind
  start?: string
  end?: string
  file?: string
  label?: string
  calibration?: Partial<CalibrationReading>
  clock?: string
  /** The file's own date where it states no times: the event lies on that day, and ended by then. */
  dated?: string
  /** Bounds of the event where the whole packet tells more than its own reading does: `[earliest, latest]` of each edge. */
  bounds?: { start?: readonly [string | null, string | null]; end?: readonly [string | null, string | null] }
}

const documentKind: Partial<Record<EventKind, DocumentKind>> = {
  'pre-scan': 'pre-scan',
  'post-scan': 'post-scan',
  calibration: 'calibration',
  alignment: 'alignment',
  drive: 'drive-log',
  clearing: 'other',
}

export function makeScene(entries: readonly Entry[], timeline?: (events: readonly PacketEvent[]) => Timeline): Packet {
  const documents: DocumentFacts[] = []
  const events: PacketEvent[] = []
  const repairs: NonNullable<Declaration['repairs']> = []
  const places: Declaration['places'] = {}
  entries.forEach((entry, index) => {
    const file = entry.file ?? `${String(index).padStart(2, '0')}-${entry.kind}.pdf`
    const id = `${entry.kind}-${index + 1}`
    const label = entry.label ?? id
    const start = readingOf(entry.start)
    const dated = readingOf(entry.dated)
    const byDate = dated ? ([readingOf(entry.dated?.slice(0, 10))?.earliest ?? null, dated.latest] as const) : null
    const end = readingOf(entry.end ?? (entry.kind === 'repair' ? undefined : entry.start))
    if (entry.kind === 'repair') {
      for (const [key, reading] of [
        ['started', start],
        ['ended', end],
      ] as const)
        if (reading)
          places[`repairs.${repairs.length}.${key}`] = { file: 'packet.yaml', text: `${key}: ${reading.text}` }
      repairs.push({ what: label, ...(start ? { started: start.text } : {}), ...(end ? { ended: end.text } : {}) })
    } else {
      const document = documentOf(entry, file, start, end)
      documents.push(
        dated
          ? { ...document, date: dated, evidence: { ...document.evidence, date: [makePlace(`Dated ${dated.text}`)] } }
          : document,
      )
    }
    events.push(
      makeEvent(id, entry.bounds?.start ?? byDate ?? boundsOf(start), entry.bounds?.end ?? byDate ?? boundsOf(end), {
        file: entry.kind === 'repair' ? 'packet.yaml' : file,
        label,
        clock: start || end || dated ? (entry.clock ?? file) : null,
        evidence: [{ file, text: entry.start ?? entry.end ?? '' }],
        ...(entry.kind === 'calibration' ? { calibration: 0 } : {}),
      }),
    )
  })
  return makePacket(documents, {
    events,
    declaration: repairs.length > 0 ? { repairs, places } : null,
    ...(timeline ? { timeline: timeline(events) } : {}),
  })
}

function documentOf(entry: Entry, file: string, start?: DateReading, end?: DateReading): DocumentFacts {
  const kind = documentKind[entry.kind] ?? 'other'
  if (entry.kind === 'calibration') {
    const reading: CalibrationReading = {
      sensor: 'front-radar',
      position: null,
      method: 'dynamic',
      outcome: 'completed',
      ...(start ? { started: start } : {}),
      ...(end ? { ended: end } : {}),
      ...entry.calibration,
    }
    return makeDocument(kind, file, {
      calibrations: [reading],
      evidence: {
        'calibrations.0': [makePlace(entry.label ?? 'record')],
        ...(start ? { 'calibrations.0.started': [makePlace(`Start ${start.text}`)] } : {}),
        ...(end ? { 'calibrations.0.ended': [makePlace(`End ${end.text}`)] } : {}),
      },
    })
  }
  if (entry.kind === 'clearing')
    return makeDocument(kind, file, {
      statements: [{ about: 'codes-cleared', text: 'codes cleared', ...(start ? { date: start } : {}) }],
      evidence: { 'statements.0': [makePlace('codes cleared')] },
    })
  if (entry.kind === 'alignment')
    return makeDocument(kind, file, {
      alignment: { values: [], outcome: 'completed', ...(end ? { ended: end } : {}) },
      evidence: end ? { 'alignment.ended': [makePlace(`Finished ${end.text}`)] } : {},
    })
  return makeDocument(kind, file, start ? { date: start } : {})
}

function readingOf(text?: string): DateReading | undefined {
  return text === undefined ? undefined : makeDate(text)
}

function boundsOf(reading?: DateReading): readonly [string, string] | null {
  return reading === undefined ? null : [reading.earliest, reading.latest]
}

/** The same day, some minutes after 08:00 in a zone that is printed. */
export function at(minutes: number): string {
  const hour = 8 + Math.floor(minutes / 60)
  return `2026-10-20T${String(hour).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}:00-06:00`
}
