/**
 * The dates of the claim about those of the work: the loss comes first, then the vehicle comes in, is worked on and
 * leaves; what is charged was done by the date of the invoice. A date counts against the job only if it lies outside for
 * certain; the day that loss, work and paper share is in order.
 */
import { agreesInPosition } from '../../facts/position.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet, PacketEvent } from '../../packet/packet.ts'
import { type BilledLine, type BilledWork, billedLines, workOf } from '../billing/billed-work.ts'
import { performedCalibrations } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { boundEvent, boundLocal, collectLosses, framingEvents, type JobDate } from '../job-dates.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { nothingToCompare } from './precedence-outcome.ts'
import { endOf, startOf } from './shared-time.ts'
import { readStatedTime } from './stated-time.ts'

export const jobInsideClaim: Check = {
  id: 'job-inside-claim',
  group: 'order',
  claim: 'The loss precedes the job, and the job lies between intake and release and was done when it was charged.',
  messages: {
    inside: { state: 'met', text: 'The dated work fits the dates of the claim: {bounds}.' },
    'loss-after': {
      state: 'unmet',
      text: 'The loss is dated {loss} ({lossFile}), after {event} ({eventFile}): {eventTime}.',
    },
    'losses-differ': {
      state: 'unmet',
      text: 'The loss is dated {loss} in {lossFile} and {otherLoss} in {otherFile}.',
    },
    'before-intake': {
      state: 'unmet',
      text: '{events} ({files}) took place before the vehicle came in ({bound}).',
    },
    'after-release': {
      state: 'unmet',
      text: '{events} ({files}) took place after the vehicle was released ({bound}).',
    },
    'charged-before-done': {
      state: 'unmet',
      text: '"{line}" is charged in {file}, dated {dated}; its record is dated later: {events} ({files}).',
    },
    'no-frame': {
      state: 'undecided',
      text: 'The packet states no date of loss, intake, release or invoice to compare the work with.',
    },
    'no-work': { state: 'undecided', text: 'No scan, calibration, alignment or drive of the packet carries a time.' },
  },
  parameters: {},
  remedy: 'The claim with its date of loss, and the dates at which the vehicle came in and left.',
  suppliers: ['insurer', 'shop'],
  settledWith: 'papers',
  exposes: {
    insurer: 'paying for work that is not of this loss',
  },
  collect: [{ step: 'intake', per: 'job', text: 'The date of loss, and day and time at which the vehicle came in' }],
  run(packet) {
    const work = packet.events.filter(({ kind, clock }) => workKinds.has(kind) && clock !== null)
    if (work.length === 0) return nothingToCompare('no-work')
    const losses = collectLosses(packet)
    const intakes = framingEvents(packet, 'intake')
    const releases = framingEvents(packet, 'release')
    const invoices = packet.documents.filter(({ kind, date }) => kind === 'invoice' && date !== undefined)
    const bounds = [
      ...distinctDays(losses).map(({ text }) => `loss ${text}`),
      ...intakes.map((event) => `intake ${timeOf(packet, event)}`),
      ...releases.map((event) => `release ${timeOf(packet, event)}`),
      ...invoices.map(({ date }) => `invoice ${date?.text}`),
    ]
    if (bounds.length === 0) return nothingToCompare('no-frame')
    const unmet = [
      ...judgeLosses(packet, losses, [...intakes, ...work]),
      ...judgeFrame(packet, work, intakes, 'before-intake'),
      ...judgeFrame(packet, work, releases, 'after-release'),
      ...billedLines(packet).flatMap((line) => judgeLine(packet, line)),
    ]
    if (unmet.length > 0) return unmet
    const evidence = [...losses, ...intakes, ...releases, ...work].flatMap((each) => each.evidence)
    return [{ state: 'met', message: 'inside', data: { bounds }, evidence: distinctPlaces(evidence) }]
  },
}

const workKinds: ReadonlySet<string> = new Set([
  'pre-scan',
  'post-scan',
  'clearing',
  'alignment',
  'calibration',
  'drive',
])

function timeOf(packet: Packet, event: PacketEvent): string {
  return readStatedTime(packet, event, 'start').printed ?? readStatedTime(packet, event, 'end').printed ?? event.label
}

function distinctDays(losses: readonly JobDate[]): JobDate[] {
  return losses.filter(({ day }, index) => losses.findIndex((other) => other.day === day) === index)
}

function judgeLosses(packet: Packet, losses: readonly JobDate[], events: readonly PacketEvent[]): Outcome[] {
  const [first, ...others] = losses
  const after = losses.flatMap((loss): Outcome[] => {
    const earlier = events.filter((event) => boundEvent(event).to < loss.from)
    const event = earlier.toSorted((a, b) => boundEvent(a).to - boundEvent(b).to)[0]
    if (event === undefined) return []
    const data = {
      loss: loss.text,
      lossFile: loss.file,
      event: event.label,
      eventFile: event.file,
      eventTime: timeOf(packet, event),
    }
    return [
      { state: 'unmet', message: 'loss-after', data, evidence: distinctPlaces([...loss.evidence, ...event.evidence]) },
    ]
  })
  const other = others.find(({ day }) => day !== null && first?.day != null && day !== first.day)
  if (first === undefined || other === undefined) return after
  const data = { loss: first.text, lossFile: first.file, otherLoss: other.text, otherFile: other.file }
  const evidence = distinctPlaces([...first.evidence, ...other.evidence])
  return [...after, { state: 'unmet', message: 'losses-differ', data, evidence }]
}

/** Events that lie before every intake, or after every release. */
function judgeFrame(
  packet: Packet,
  work: readonly PacketEvent[],
  frame: readonly PacketEvent[],
  message: 'before-intake' | 'after-release',
): Outcome[] {
  const isOutside = (event: PacketEvent, edge: PacketEvent) => {
    const [first, second] = message === 'before-intake' ? [edge, event] : [event, edge]
    return packet.timeline.order(startOf(first), endOf(second)).answer === 'impossible'
  }
  const outside = work.filter((event) => frame.length > 0 && frame.every((edge) => isOutside(event, edge)))
  const [edge] = frame
  if (outside.length === 0 || edge === undefined) return []
  const evidence = distinctPlaces([...outside, edge].flatMap((event) => event.evidence))
  return [{ state: 'unmet', message, data: { ...listEvents(outside), bound: timeOf(packet, edge) }, evidence }]
}

function listEvents(events: readonly PacketEvent[]) {
  return {
    events: events.map(({ label }) => label),
    files: [...new Set(events.map(({ file }) => file))],
  }
}

/** A line whose every record lies after the date of its invoice. */
function judgeLine(packet: Packet, { invoice, index, operation }: BilledLine): Outcome[] {
  const { date } = invoice
  const zone = date?.offset ?? packet.declaration?.zone ?? null
  const dated = date === undefined ? null : date.local === null ? date : boundLocal(date.local, zone)
  if (date === undefined || dated === null) return []
  const later = workOf(operation).flatMap((work) => {
    const records = findRecords(packet, work)
    return records.every((event) => boundEvent(event).from > Date.parse(dated.latest)) ? records : []
  })
  if (later.length === 0) return []
  const line: FilePlace[] = findPlaces(invoice, `operations.${index}`, operation.text)
  const data = { line: operation.text, file: invoice.file, dated: date.text, ...listEvents(later) }
  const evidence = distinctPlaces([...line, ...later.flatMap((event) => event.evidence)])
  return [{ state: 'unmet', message: 'charged-before-done', data, evidence }]
}

function findRecords(packet: Packet, work: BilledWork): PacketEvent[] {
  if (work.kind === 'calibration') {
    const same = performedCalibrations(packet).filter(({ reading }) => {
      const methods = [reading.method, work.method]
      const isMethod = reading.method === work.method || methods.includes('unknown')
      return reading.sensor === work.sensor && isMethod && agreesInPosition(reading.position, work.position)
    })
    return same.map(({ event }) => event)
  }
  const kinds = work.kind === 'alignment' ? ['alignment'] : scanKinds[work.when]
  return packet.events.filter(({ kind }) => kinds.includes(kind))
}

const scanKinds = { before: ['pre-scan'], after: ['post-scan'], any: ['pre-scan', 'post-scan'] }
