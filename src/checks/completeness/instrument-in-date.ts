import type { DateReading, DocumentFacts } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { findPlaces } from '../places.ts'
import { listFiles } from '../unread.ts'

const recordKinds: ReadonlySet<string> = new Set(['pre-scan', 'post-scan', 'scan', 'calibration', 'alignment'])

export const instrumentInDate: Check = {
  id: 'instrument-in-date',
  group: 'completeness',
  claim: "Wherever a record states it, the instrument's own check or licence was in date on the day of the work.",
  messages: {
    'in-date': { state: 'met', text: "The instrument's own check or licence was in date, as {files} says: {dates}." },
    expired: {
      state: 'unmet',
      text: "The instrument's own check or licence ran to {until}, as {files} says, and the work was done on {day}.",
    },
    'check-old': {
      state: 'unmet',
      text: 'The instrument was last checked on {checked}, as {files} says, {days} days before the work; at most {mostDays} are usual.',
    },
    unclear: {
      state: 'undecided',
      text: "Whether the instrument's own check or licence ({until}) was in date on {day} depends on how {files} writes its dates.",
    },
    'checked-after': {
      state: 'undecided',
      text: 'The instrument was checked on {checked}, as {files} says, after the work on {day}.',
    },
    'day-unknown': {
      state: 'undecided',
      text: "{files} states until when the instrument's own check or licence holds, and not the day of the work.",
    },
    'not-stated': {
      state: 'undecided',
      text: "No record states until when its instrument's own check or licence holds.",
    },
  },
  parameters: { mostDays: 'Days between two checks of an instrument, where only the last one is stated.' },
  remedy: "The instrument's certificate or licence for the day of the work, or the work repeated with one in date.",
  suppliers: ['calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'work done with an instrument that nothing shows to have been fit',
  },
  collect: [
    {
      step: 'preparation',
      per: 'job',
      text: "The last day on which the instrument's own check and licence hold, on its records or its certificate",
    },
  ],
  run(packet, parameters) {
    const mostDays = numberParameter(parameters, 'mostDays')
    const judged = packet.documents.flatMap((document) => {
      if (!recordKinds.has(document.kind)) return []
      const outcome = judge(document, mostDays)
      return outcome === null ? [] : [{ document, ...outcome }]
    })
    if (judged.length === 0) return [{ state: 'undecided', message: 'not-stated', data: {}, evidence: [] }]
    const groups = Map.groupBy(judged, ({ message, shown }) =>
      message === 'in-date' ? message : `${message} ${shown}`,
    )
    return [...groups.values()].map(describe)
  },
}

interface Judged {
  message: keyof typeof states
  /** What tells one finding from another of the same message. */
  shown: string
  data: Outcome['data']
}

const states = {
  'in-date': 'met',
  expired: 'unmet',
  'check-old': 'unmet',
  unclear: 'undecided',
  'checked-after': 'undecided',
  'day-unknown': 'undecided',
} as const

function judge(document: DocumentFacts, mostDays: number): Judged | null {
  const { instrument } = document
  const { date } = workOf(document)
  const { checkedUntil, checkedOn } = instrument ?? {}
  if (checkedUntil === undefined && checkedOn === undefined) return null
  const make = (message: Judged['message'], data: Outcome['data']): Judged => ({
    message,
    shown: `${instrument?.serial ?? instrument?.name ?? ''} ${JSON.stringify(data)}`,
    data,
  })
  if (date === undefined) return make('day-unknown', {})
  const [worked] = daysOf(date)
  const day = worked ?? date.text
  if (checkedUntil !== undefined) {
    const until = checkedUntil.local ?? checkedUntil.text
    const answers = daysOf(checkedUntil).flatMap((end) => daysOf(date).map((start) => end >= start))
    const message = answers.every(Boolean) ? 'in-date' : answers.some(Boolean) ? 'unclear' : 'expired'
    return make(message, { until, day })
  }
  if (checkedOn === undefined) return null
  const checked = checkedOn.local ?? checkedOn.text
  if (checkedOn.local === null) return make('unclear', { until: `checked on ${checked}`, day })
  const days = Math.round((Date.parse(date.earliest) - Date.parse(checkedOn.earliest)) / 86_400_000)
  if (days < 0) return make('checked-after', { checked, day })
  return make(days <= mostDays ? 'in-date' : 'check-old', { checked, day, days, mostDays })
}

/** When the work was done: a record may be printed again much later. */
function workOf({ calibrations = [], alignment, date }: DocumentFacts): {
  date: DateReading | undefined
  path: string
} {
  const at = calibrations.findIndex(({ started }) => started !== undefined)
  if (at >= 0) return { date: calibrations[at]?.started, path: `calibrations.${at}.started` }
  return alignment?.ended === undefined ? { date, path: 'date' } : { date: alignment.ended, path: 'alignment.ended' }
}

/** Every day that a date may mean, `YYYY-MM-DD`: two where day and month cannot be told apart. */
function daysOf({ local, alternatives = [], text }: DateReading): string[] {
  const readings = local === null ? alternatives : [local]
  return readings.length > 0 ? readings.map((reading) => reading.slice(0, 10)) : [text]
}

function describe(group: readonly (Judged & { document: DocumentFacts })[]): Outcome {
  const documents = group.map(({ document }) => document)
  const message = group[0]?.message ?? 'day-unknown'
  const key = (document: DocumentFacts) => (document.instrument?.checkedUntil ? 'checkedUntil' : 'checkedOn')
  const dates = group.map(({ data }) => String(data.until ?? `checked on ${data.checked}`))
  return {
    state: states[message],
    message,
    data: { ...group[0]?.data, files: listFiles(documents), dates: [...new Set(dates)] },
    evidence: documents.flatMap((document) => [
      ...findPlaces(document, `instrument.${key(document)}`),
      ...(workOf(document).date ? findPlaces(document, workOf(document).path) : []),
    ]),
  }
}
