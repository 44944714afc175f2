/**
 * The offsets between clocks that pairs of readings imply. An offset is known within bounds; the least offset within
 * them is what can be held against a clock. Bounds that one number of whole hours fits point to a zone, not to a clock that
 * runs badly (common practice).
 */
import type { Clock, Packet, Statement } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'

const sentence = 'The clock of {clock} runs {leastSeconds} to {mostSeconds} s ahead of {against}'

export const clocksAgree: Check = {
  id: 'clocks-agree',
  group: 'order',
  claim: 'The clocks that the times were read on agree within minutes.',
  messages: {
    agree: { state: 'met', text: `${sentence}.` },
    differ: { state: 'unmet', text: `${sentence}: more than {allowedSeconds} s.` },
    'zone-error': { state: 'unmet', text: `${sentence}, which points to a zone error: {hours} h would explain it.` },
    'far-apart': { state: 'unmet', text: `${sentence}: more than any zone explains.` },
    'loosely-bound': { state: 'undecided', text: `${sentence}, which is too loose to tell whether they agree.` },
    'nothing-implied': {
      state: 'undecided',
      text: 'No two readings of the packet tell how its clocks stand to each other.',
    },
  },
  parameters: {
    allowedSeconds: 'Offset between two clocks that needs no explanation, in seconds.',
    farSeconds: 'Offset that no zone explains, in seconds.',
  },
  remedy: 'Proof of how the clock and zone of the instrument were set on that day.',
  suppliers: ['calibrator'],
  settledWith: 'papers',
  exposes: {
    calibrator: 'times that nobody can rely on',
  },
  collect: [
    {
      step: 'intake',
      per: 'job',
      text: 'Clock and zone of each instrument and phone, compared with one clock on the day',
    },
  ],
  run(packet, parameters) {
    const allowed = numberParameter(parameters, 'allowedSeconds')
    const far = numberParameter(parameters, 'farSeconds')
    const outcomes = pairsOf(packet).map((pair) => judge(pair, allowed, far))
    return outcomes.length > 0 ? outcomes : nothingToCompare('nothing-implied')
  },
}

interface ClockPair {
  clock: Clock
  against: string
  seconds: readonly [number, number]
  because: Statement[]
}

/** Each pair of clocks once, however many of the two tell of the other. */
function pairsOf(packet: Packet): ClockPair[] {
  const seen = new Set<string>()
  return packet.timeline.clocks.flatMap((clock) =>
    clock.implied.flatMap(({ against, seconds, because }) => {
      const key = [clock.id, against].sort().join('\n')
      if (seen.has(key)) return []
      seen.add(key)
      const other = packet.timeline.clocks.find((candidate) => candidate.id === against)
      return [{ clock, against: other?.label ?? against, seconds, because }]
    }),
  )
}

function judge({ clock, against, seconds, because }: ClockPair, allowed: number, far: number): Outcome {
  const [from, to] = seconds
  const least = from <= 0 && to >= 0 ? 0 : Math.min(Math.abs(from), Math.abs(to))
  const most = Math.max(Math.abs(from), Math.abs(to))
  const hours = wholeHours(seconds, allowed)
  const message =
    least > far
      ? 'far-apart'
      : least > allowed
        ? hours === null
          ? 'differ'
          : 'zone-error'
        : most <= allowed
          ? 'agree'
          : 'loosely-bound'
  return {
    state: message === 'agree' ? 'met' : message === 'loosely-bound' ? 'undecided' : 'unmet',
    message,
    data: {
      clock: clock.label,
      against,
      leastSeconds: finite(from),
      mostSeconds: finite(to),
      allowedSeconds: allowed,
      hours,
      files: clock.files,
    },
    evidence: distinctPlaces(because.flatMap((statement) => statement.evidence)),
    statements: because,
  }
}

/** The only whole number of hours, other than none, that lies within the bounds or as near to them as is allowed. */
function wholeHours([from, to]: readonly [number, number], allowed: number): number | null {
  const least = Math.ceil((from - allowed) / 3600)
  const most = Math.floor((to + allowed) / 3600)
  return least === most && least !== 0 ? least : null
}

function finite(seconds: number): number | null {
  return Number.isFinite(seconds) ? Math.round(seconds) : null
}
