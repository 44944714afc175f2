/**
 * The camera's time of each photo against loss, intake and release. Cameras and phones may be set to anything, so only a
 * photo that lies outside for certain counts. One taken between loss and intake can show the damage as it came, and so is
 * nothing to wonder at; without dates of the job, only a photo far from all its other dates is told.
 */
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import type { Check, DataValue, Outcome } from '../check.ts'
import { boundEvent, collectLosses, framingEvents } from '../job-dates.ts'
import { numberParameter } from '../parameters.ts'
import { distinctPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'
import { endOf, startOf } from './shared-time.ts'
import { readStatedTime } from './stated-time.ts'

export const photosInsideJob: Check = {
  id: 'photos-inside-job',
  group: 'order',
  claim: 'The photos were taken during the job, as far as their cameras tell.',
  messages: {
    inside: { state: 'met', text: '{photos} photos were taken within the job: {files}.' },
    'before-loss': { state: 'unmet', text: '{file} was taken {taken}, before the loss ({bound}).' },
    'long-before': {
      state: 'unmet',
      text: '{file} was taken {taken}, more than {mostDays} days before the vehicle came in ({bound}).',
    },
    'after-release': { state: 'unmet', text: '{file} was taken {taken}, after the vehicle was released ({bound}).' },
    'far-from-job': {
      state: 'unmet',
      text: '{file} was taken {taken}, more than {mostDays} days from every other date of the packet ({bound}).',
    },
    'before-intake': {
      state: 'undecided',
      text: '{file} was taken {taken}, before the vehicle came in ({bound}): it can show the damage, and not the work.',
    },
    'not-told': { state: 'undecided', text: 'Whether {file} ({taken}) was taken during the job cannot be told.' },
    'no-time': { state: 'undecided', text: 'No photo of the packet carries the time at which it was taken.' },
  },
  parameters: {
    mostDays: 'Days by which a photo may lie before the intake, or from the job where its dates are not told.',
  },
  remedy: 'The original photo file with its camera data, or proof of how the clock of the camera was set.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'photos that may be of another job',
    insurer: 'paying on photos that may be of another job',
  },
  collect: [],
  run(packet, parameters) {
    const photos = packet.events.filter(({ kind, clock }) => kind === 'photo' && clock !== null)
    if (photos.length === 0) return nothingToCompare('no-time')
    const mostDays = numberParameter(parameters, 'mostDays')
    const judged = photos.map((photo) => ({ photo, ...judge(packet, photo, mostDays) }))
    const inside = judged.filter(({ message }) => message === 'inside').map(({ photo }) => photo)
    const rest = judged
      .filter(({ message }) => message !== 'inside')
      .map(({ photo, message, bound, places }): Outcome => {
        const taken = takenAt(packet, photo)
        const data: Record<string, DataValue> = { file: photo.file, taken, bound, mostDays }
        const state = message === 'before-intake' || message === 'not-told' ? 'undecided' : 'unmet'
        return { state, message, data, evidence: distinctPlaces([...photo.evidence, ...places]) }
      })
    if (inside.length === 0) return rest
    const data = { photos: inside.length, files: inside.map(({ file }) => file) }
    const evidence = distinctPlaces(inside.flatMap((photo) => photo.evidence))
    return [{ state: 'met', message: 'inside', data, evidence }, ...rest]
  },
}

function takenAt(packet: Packet, { document }: PacketEvent): string {
  return packet.documents[document ?? -1]?.photo?.taken?.text ?? 'at a time that is not stated'
}

interface Judged {
  message: 'inside' | 'before-loss' | 'long-before' | 'after-release' | 'far-from-job' | 'before-intake' | 'not-told'
  bound: string
  places: readonly FilePlace[]
}

const dayMilliseconds = 86_400_000

function judge(packet: Packet, photo: PacketEvent, mostDays: number): Judged {
  const intakes = framingEvents(packet, 'intake')
  const releases = framingEvents(packet, 'release')
  const losses = collectLosses(packet)
  const { from, to } = boundEvent(photo)
  const told = (message: Judged['message'], at?: { text: string; evidence: readonly FilePlace[] }): Judged => {
    return { message, bound: at?.text ?? '', places: at?.evidence ?? [] }
  }
  const earliestLoss = losses.toSorted((a, b) => a.from - b.from)[0]
  if (earliestLoss !== undefined && to < earliestLoss.from) return told('before-loss', earliestLoss)
  if (releases.length > 0 && releases.every((release) => isAfter(packet, photo, release)))
    return told('after-release', releases[0] && wordsOf(packet, releases[0]))
  const later = intakes.find((intake) => isAfter(packet, intake, photo))
  if (later !== undefined) {
    const days = (boundEvent(later).from - to) / dayMilliseconds
    if (losses.length === 0 && days > mostDays) return told('long-before', wordsOf(packet, later))
    return told('before-intake', wordsOf(packet, later))
  }
  const begun = intakes.length > 0 ? intakes.every((intake) => isByDay(packet, intake, photo)) : null
  const open = releases.length > 0 ? releases.some((release) => isByDay(packet, photo, release)) : null
  if (begun !== null && open !== null) return told(begun && open ? 'inside' : 'not-told')
  return judgeByWork(packet, { from, to }, mostDays, begun === false || open === false)
}

/** `a` began for certain only after `b` had ended. */
function isAfter(packet: Packet, a: PacketEvent, b: PacketEvent): boolean {
  return packet.timeline.order(startOf(a), endOf(b)).answer === 'impossible'
}

/** `a` began before `b` had ended, or less than a day after: a job is dated in days. */
function isByDay(packet: Packet, a: PacketEvent, b: PacketEvent): boolean {
  return packet.timeline.order(startOf(a), endOf(b)).gapSeconds[0] * 1000 > -dayMilliseconds
}

/** Where intake or release is not told, the events of the work stand for them, within some days. */
function judgeByWork(
  packet: Packet,
  { from, to }: { from: number; to: number },
  mostDays: number,
  isOpen: boolean,
): Judged {
  const work = packet.events.filter(({ kind, clock }) => kind !== 'photo' && clock !== null)
  const bounds = work.map((event) => ({ event, ...boundEvent(event) }))
  const first = bounds.toSorted((a, b) => a.from - b.from)[0]
  const last = bounds.toSorted((a, b) => b.to - a.to)[0]
  const [begins, ends] = [first?.from ?? Number.NaN, last?.to ?? Number.NaN]
  const slack = mostDays * dayMilliseconds
  const far = (event: PacketEvent): Judged => {
    return { message: 'far-from-job', bound: wordsOf(packet, event).text, places: event.evidence }
  }
  if (first !== undefined && to < begins - slack) return far(first.event)
  if (last !== undefined && from > ends + slack) return far(last.event)
  const isInside = from >= begins - slack && to <= ends + slack && !isOpen
  return { message: isInside ? 'inside' : 'not-told', bound: '', places: [] }
}

function wordsOf(packet: Packet, event: PacketEvent): { text: string; evidence: readonly FilePlace[] } {
  const { printed } = readStatedTime(packet, event, 'start')
  const time = printed ?? readStatedTime(packet, event, 'end').printed
  const text = time === null || event.label.includes(time) ? event.label : `${event.label} ${time}`
  return { text, evidence: event.evidence }
}
