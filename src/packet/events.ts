/** From documents and declaration to events: what happened, and which readings bound its start and end. */
import type { CalibrationReading, DateReading, DocumentFacts } from '../facts/document.ts'
import { instantBounds } from '../facts/instant.ts'
import type { FilePlace } from '../facts/reading.ts'
import { cameraClock, declarationClock } from './clocks.ts'
import { declarationFile, splitDeclaredDate } from './declaration.ts'
import { type Declaration, type EventKind, eventKinds } from './packet.ts'
import { boundSpan, claimTime, endByPicture, placesOf, type TimeClaim } from './time-claims.ts'

export interface DurationClaim {
  seconds: number
  file: string
  evidence: FilePlace[]
}

export interface EventDraft {
  id: string
  kind: EventKind
  file: string
  document: number | null
  calibration?: number
  label: string
  claims: TimeClaim[]
  durations: DurationClaim[]
  evidence: FilePlace[]
}

type Draft = Omit<EventDraft, 'id'>

const sensorName = (sensor: string, position: string | null): string =>
  [position ?? '', sensor.replaceAll('-', ' ')].filter((part) => part !== '').join(' ')

function calibrationDraft(document: DocumentFacts, index: number, calibration: CalibrationReading, at: number): Draft {
  const { sensor, position, method, durationSeconds } = calibration
  const label = `${sensorName(sensor, position)}${method === 'unknown' ? '' : `, ${method}`}`
  const what = `the calibration (${label})`
  const path = `calibrations.${at}`
  const durations =
    durationSeconds === undefined
      ? []
      : [
          {
            seconds: durationSeconds,
            file: document.file,
            evidence: placesOf(document, `${path}.durationSeconds`, label),
          },
        ]
  return {
    kind: 'calibration',
    file: document.file,
    document: index,
    calibration: at,
    label,
    claims: boundSpan(document, what, path, calibration),
    durations,
    evidence: placesOf(document, path, label),
  }
}

/** Estimates and invoices speak of calibrations as things to charge, not as things that happened at a time. */
const reportsCalibrations = (document: DocumentFacts): boolean =>
  document.kind !== 'estimate' && document.kind !== 'invoice'

function calibrationDrafts(documents: readonly DocumentFacts[]): Draft[] {
  const drafts: Draft[] = []
  const reported = new Map<string, Draft>()
  const indexed = documents.map((document, index) => ({ document, index }))
  // A record of its own speaks first, so that a summary elsewhere adds to it and not the other way round.
  const records = indexed.filter(({ document }) => document.kind === 'calibration')
  const summaries = indexed.filter(({ document }) => document.kind !== 'calibration' && reportsCalibrations(document))
  for (const { document, index } of [...records, ...summaries])
    for (const [at, calibration] of (document.calibrations ?? []).entries()) {
      if (calibration.outcome === 'not-performed') continue
      const draft = calibrationDraft(document, index, calibration, at)
      const { sensor, position, method, started } = calibration
      const key = JSON.stringify([sensor, position, method, started?.local ?? null, started?.offset ?? null])
      const known = started?.local ? reported.get(key) : undefined
      if (known === undefined || known.document === index) {
        drafts.push(draft)
        reported.set(key, draft)
      } else {
        // Equal to the minute means copied from the record, so these are readings of the record's clock.
        const [first] = known.claims
        const stated = draft.claims.filter((each) => each.bounds === 'start' || each.bounds === 'end')
        known.claims.push(...stated.map((each) => ({ ...each, clock: first?.clock ?? each.clock })))
        known.durations.push(...draft.durations)
        known.evidence.push(...draft.evidence)
      }
    }
  return drafts
}

/** A scan's printed time stands for the whole scan: records do not say whether they stamp its beginning or its end. */
function scanDraft(document: DocumentFacts, index: number, kind: 'pre-scan' | 'post-scan'): Draft {
  const evidence = placesOf(document, 'date', document.date?.text ?? kind)
  const dated = claimTime(document, 'whole', 'says the scan was taken {time}', 'date', document.date)
  const claims = dated.length > 0 ? dated : endByPicture(document, 'the scan')
  return { kind, file: document.file, document: index, label: kind, claims, durations: [], evidence }
}

function alignmentDraft(document: DocumentFacts, index: number): Draft {
  const ended = document.alignment?.ended
  const span = ended === undefined ? {} : { ended }
  return {
    kind: 'alignment',
    file: document.file,
    document: index,
    label: 'wheel alignment',
    claims: boundSpan(document, 'the alignment', 'alignment', span),
    durations: [],
    evidence: placesOf(document, 'alignment', 'wheel alignment'),
  }
}

function driveDraft(document: DocumentFacts, index: number): Draft {
  const { drive } = document
  const seconds = drive?.points === 0 ? drive.durationSeconds : null
  const span = {
    ...(drive?.started && { started: drive.started }),
    ...(drive?.ended && { ended: drive.ended }),
    ...(seconds !== null && seconds !== undefined && { durationSeconds: seconds }),
  }
  const evidence = placesOf(document, 'drive', 'drive')
  return {
    kind: 'drive',
    file: document.file,
    document: index,
    label: 'drive',
    claims: boundSpan(document, 'the drive', 'drive', span),
    // A log's duration is computed from its own first and last point and says nothing more.
    durations: seconds === null || seconds === undefined ? [] : [{ seconds, file: document.file, evidence }],
    evidence,
  }
}

function photoDraft(document: DocumentFacts, index: number): Draft {
  const taken = document.photo?.taken
  const claims = claimTime(
    document,
    'whole',
    'says the photo was taken {time}',
    'photo.taken',
    taken,
    cameraClock(document),
  )
  const evidence = placesOf(document, 'photo', taken?.text ?? 'photo')
  return { kind: 'photo', file: document.file, document: index, label: 'photo', claims, durations: [], evidence }
}

const statedKinds = { 'codes-cleared': 'clearing', released: 'release', repaired: 'repair', watched: null } as const

function statedDrafts(document: DocumentFacts, index: number): Draft[] {
  return (document.statements ?? []).flatMap((statement, at) => {
    // Without a date the words say that it happened, which bounds nothing.
    const kind = statedKinds[statement.about]
    if (statement.date === undefined || kind === null) return []
    const path = `statements.${at}`
    const says = `says "${statement.text}"`
    return [
      {
        kind,
        file: document.file,
        document: index,
        label: statement.text,
        claims: claimTime(document, 'whole', says, `${path}.date`, statement.date),
        durations: [],
        evidence: placesOf(document, path, statement.text),
      },
    ]
  })
}

/** A date of packet.yaml as a reading. */
export function readDeclaredDate(written: string, zone: string | null): DateReading {
  const { local, offset } = splitDeclaredDate(written)
  const reading = { text: written, local, offset, ...instantBounds(local, offset ?? zone) }
  return offset === null && zone !== null ? { ...reading, zone } : reading
}

function declaredDrafts(declaration: Declaration): Draft[] {
  const zone = declaration.zone ?? null
  const declared = (
    bounds: TimeClaim['bounds'],
    says: string,
    path: string,
    written: string | undefined,
  ): TimeClaim[] => {
    if (written === undefined) return []
    const place = declaration.places[path] ?? { file: declarationFile, text: written }
    return [{ bounds, says, reading: readDeclaredDate(written, zone), clock: declarationClock, evidence: [place] }]
  }
  const base = { file: declarationFile, document: null, durations: [] }
  const moments = [
    {
      kind: 'intake' as const,
      label: 'intake',
      claims: declared('whole', 'says the shop took the vehicle in {time}', 'intake', declaration.intake),
    },
    {
      kind: 'release' as const,
      label: 'release',
      claims: declared('whole', 'says the shop released the vehicle {time}', 'release', declaration.release),
    },
  ].filter(({ claims }) => claims.length > 0)
  const repairs = (declaration.repairs ?? []).map(({ what, started, ended }, at) => ({
    kind: 'repair' as const,
    label: what,
    claims: [
      ...declared('start', `says the repair "${what}" started {time}`, `repairs.${at}.started`, started),
      ...declared('end', `says the repair "${what}" ended {time}`, `repairs.${at}.ended`, ended),
    ],
  }))
  return [...moments, ...repairs].map((each, at) => ({
    ...base,
    ...each,
    evidence: each.claims
      .flatMap((one) => one.evidence)
      .concat(each.claims.length === 0 ? (declaration.places[`repairs.${at - moments.length}`] ?? []) : []),
  }))
}

function draftsOf(document: DocumentFacts, index: number): Draft[] {
  const { kind } = document
  const drafts = statedDrafts(document, index)
  if (kind === 'pre-scan' || kind === 'post-scan') drafts.push(scanDraft(document, index, kind))
  if (kind === 'alignment' || document.alignment?.ended !== undefined) drafts.push(alignmentDraft(document, index))
  if (kind === 'drive-log') drafts.push(driveDraft(document, index))
  if (kind === 'photo' || document.photo?.taken) drafts.push(photoDraft(document, index))
  return drafts
}

/**
 * Every event of a packet, by kind and then by file; ids are the kind and a number in that order. `documents` must be
 * sorted by path and have their final kinds; a scan that is still neither before nor after the work is no event.
 */
export function draftEvents(documents: readonly DocumentFacts[], declaration: Declaration | null): EventDraft[] {
  const drafts = [
    ...documents.flatMap(draftsOf),
    ...calibrationDrafts(documents),
    ...(declaration === null ? [] : declaredDrafts(declaration)),
  ]
  return eventKinds.flatMap((kind) =>
    drafts
      .filter((draft) => draft.kind === kind)
      .map((draft, at) => ({ draft, at }))
      .toSorted((a, b) => compareText(a.draft.file, b.draft.file) || a.at - b.at)
      .map(({ draft }, at) => ({ id: `${kind}-${at + 1}`, ...draft })),
  )
}

/** By code units, whatever the locale. */
export const compareText = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
