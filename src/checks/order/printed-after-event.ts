/**
 * The date at which a PDF says that it was created, against the scan, calibration or alignment that it reports. Only the
 * first making counts; saving it again leaves another date. Programs exist that write local time and call it UTC, so a
 * file counts as made too early only if it is so by its zone and by its bare figures.
 */
import { instantBounds, localSpan } from '../../facts/instant.ts'
import type { DocumentInformation } from '../../facts/reading.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { filesLine } from '../shared-lines.ts'
import { nothingToCompare } from './precedence-outcome.ts'
import { readStatedTime } from './stated-time.ts'

export const printedAfterEvent: Check = {
  id: 'printed-after-event',
  group: 'order',
  claim: 'The record files were created after what they report, and within days of it.',
  messages: {
    printed: {
      state: 'met',
      text: '{files}: created when what they report was over, and within {mostDays} days of it.',
    },
    'before-event': {
      state: 'unmet',
      text: '{file} was created {created}, before the end of what it reports: {event} ({reported}).',
    },
    late: {
      state: 'unmet',
      text: '{file} was created {created}, {days} days after what it reports: {event} ({reported}).',
    },
    'zone-unclear': {
      state: 'undecided',
      text: '{file} says that it was created {created}, which lies before {event} ({reported}) only if that zone is right.',
    },
    'nothing-to-compare': {
      state: 'undecided',
      text: 'No record of the packet carries both the date of its file and a time of what it reports.',
    },
  },
  parameters: {
    mostDays: 'Days after the event within which a record is usually made.',
    clockSeconds: 'How far the clock of the computer that made the file may be off, in seconds.',
  },
  remedy: 'The file as the instrument saved it, or word of how it came to be made at that time.',
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'a record whose making nobody can explain',
  },
  collect: [filesLine],
  run(packet, parameters) {
    const mostDays = numberParameter(parameters, 'mostDays')
    const clockSeconds = numberParameter(parameters, 'clockSeconds')
    const records = findRecords(packet)
    if (records.length === 0) return nothingToCompare('nothing-to-compare')
    const judged = records.map((record) => ({ record, message: judge(record, mostDays, clockSeconds) }))
    const printed = judged.filter(({ message }) => message === 'printed').map(({ record }) => record)
    const rest = judged.flatMap(({ record, message }) =>
      message === 'printed' ? [] : [tell(record, message, mostDays)],
    )
    if (printed.length === 0) return rest
    const data = { files: printed.map(({ file }) => file), mostDays }
    return [{ state: 'met', message: 'printed', data, evidence: distinctPlaces(printed.flatMap(placesOf)) }, ...rest]
  },
}

interface MadeRecord {
  file: string
  /** As the file says. */
  created: string
  /** Its bare figures, `YYYY-MM-DDTHH:MM:SS`. */
  figures: string
  /** Bounds of the creation, and of the end of the last event that the file reports; milliseconds since 1970. */
  made: { from: number; to: number }
  over: { from: number; to: number }
  event: PacketEvent
  /** The end of that event as printed, and its local reading. */
  reported: string
  local: string | null
  places: Outcome['evidence']
}

const reportedKinds: ReadonlySet<string> = new Set(['pre-scan', 'post-scan', 'calibration', 'alignment'])

function findRecords(packet: Packet): MadeRecord[] {
  return packet.documents.flatMap((document, index): MadeRecord[] => {
    const made = readCreation(packet.content[document.file]?.information ?? null, packet.declaration?.zone ?? null)
    const events = packet.events.flatMap((event) => {
      if (event.document !== index || !reportedKinds.has(event.kind)) return []
      const [from, to] = [Date.parse(event.earliestEnd ?? ''), Date.parse(event.latestEnd ?? '')]
      return Number.isNaN(from) || Number.isNaN(to) ? [] : [{ event, from, to }]
    })
    const last = events.toSorted((a, b) => b.from - a.from)[0]
    if (made === null || last === undefined) return []
    const { event, from, to } = last
    const ended = readStatedTime(packet, event, 'end')
    const stated = ended.printed === null ? readStatedTime(packet, event, 'start') : ended
    return [
      {
        file: document.file,
        ...made,
        over: { from, to },
        event,
        reported: stated.printed ?? document.date?.text ?? '',
        local: stated.local ?? document.date?.local ?? null,
        places: stated.evidence,
      },
    ]
  })
}

/**
 * `YYYY-MM-DDTHH:MM:SS` with or without an offset. Without one its zone is unknown (ISO 32000-1, 7.9.4), unless the packet
 * declares that of the shop.
 */
function readCreation(
  information: DocumentInformation | null,
  zone: string | null,
): Pick<MadeRecord, 'created' | 'figures' | 'made'> | null {
  const created = information?.created
  const [, figures, offset] =
    /^(\d{4}-\d\d-\d\dT\d\d:\d\d(?::\d\d)?)(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/.exec(created ?? '') ?? []
  if (created === undefined || figures === undefined || localSpan(figures) === null) return null
  const { earliest, latest } = instantBounds(figures, offset === 'Z' ? '+00:00' : (offset ?? zone))
  return { created, figures, made: { from: Date.parse(earliest), to: Date.parse(latest) } }
}

type Message = 'printed' | 'before-event' | 'late' | 'zone-unclear'

const dayMilliseconds = 86_400_000

function judge(record: MadeRecord, mostDays: number, clockSeconds: number): Message {
  const { made, over, figures, local } = record
  if (made.to + clockSeconds * 1000 < over.from) {
    return isEarlierByFigures(figures, local, clockSeconds) ? 'before-event' : 'zone-unclear'
  }
  return made.from > over.to + mostDays * dayMilliseconds ? 'late' : 'printed'
}

function isEarlierByFigures(figures: string, local: string | null, clockSeconds: number): boolean {
  const [made, over] = [localSpan(figures), local === null ? null : localSpan(local)]
  return made !== null && over !== null && made.last + clockSeconds < over.first
}

function tell(record: MadeRecord, message: Exclude<Message, 'printed'>, mostDays: number): Outcome {
  const { file, created, event, reported, made, over } = record
  const data = {
    file,
    created,
    event: event.label,
    reported,
    days: Math.round((made.from - over.to) / dayMilliseconds),
    mostDays,
  }
  return { state: message === 'zone-unclear' ? 'undecided' : 'unmet', message, data, evidence: placesOf(record) }
}

function placesOf({ file, created, places }: MadeRecord): Outcome['evidence'] {
  return distinctPlaces([...places, { file, text: `created ${created}` }])
}
