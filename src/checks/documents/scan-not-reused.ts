/**
 * Pre-scan and post-scan, compared as facts and line by line. A sound vehicle scanned twice by one instrument gives two
 * reports that differ in little more than date, voltage and odometer: what tells reuse apart is what cannot come out the
 * same twice, such as the moment, or does so seldom, such as the voltage to the digit or the same codes after a repair.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import { kindOfName } from '../../facts/file-kind.ts'
import type { FilePlace, Place } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Contrast, ContrastSide, Outcome, WorkingStep } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { postScanLine, preScanLine } from '../shared-lines.ts'
import { compareBodies, findReportNumbers, type LineDifference } from './scan-bodies.ts'
import { compareScans, type ScanComparison } from './scan-facts.ts'

export const scanNotReused: Check = {
  id: 'scan-not-reused',
  group: 'documents',
  claim: 'The scans before and after the work are two reports of two scans.',
  messages: {
    differ: { state: 'met', text: '{before} and {after} differ in what they found: {differences}.' },
    'differ-in-values': {
      state: 'met',
      text: '{before} and {after} found the same, as a sound vehicle shows it, and differ in measured values: {differences}.',
    },
    'same-file': { state: 'unmet', text: '{before} and {after} are the same file under two names.' },
    'same-report': {
      state: 'unmet',
      text: '{before} and {after} are the same report under two names: {same}; what differs is {differences}.',
    },
    'same-moment': {
      state: 'unmet',
      text: '{before} and {after} found the same and are both of {moment}, though one instrument scans a vehicle once at a time.',
    },
    'only-heading': {
      state: 'unmet',
      text: '{before} and {after} differ only in heading, date or number: {differences}; {same}.',
    },
    copy: { state: 'unmet', text: '{before} and {after} seem to be two copies of one scan: {same}.' },
    'nothing-tells-apart': {
      state: 'undecided',
      text: '{before} and {after} differ only in heading, date or number ({differences}); no code, voltage or report number tells whether they are of one scan.',
    },
    'not-read': { state: 'undecided', text: 'Too little of {before} and {after} was read to compare them.' },
    'no-pair': { state: 'undecided', text: 'The packet does not hold both a pre-scan and a post-scan.' },
  },
  parameters: {},
  remedy: "The instrument's own stored scans, or its list of them with the time of each.",
  suppliers: ['shop', 'instrument-maker'],
  settledWith: 'papers',
  exposes: {
    shop: 'a second scan that cannot be shown to have been made',
    insurer: 'paying for a scan that was not made',
  },
  collect: [preScanLine, postScanLine],
  run(packet) {
    const outcomes = listPairs(packet).map((pair) => judge(packet, ...pair))
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-pair', data: {}, evidence: [] }]
  },
}

/** Every pre-scan with every post-scan; where one of the two lacks, scans that only their names hold out as it, and scans of which the packet does not tell which they are, where one of the two lacks. */
function listPairs({ documents }: Packet): [DocumentFacts, DocumentFacts][] {
  const of = (kind: string) => documents.filter((document) => document.kind === kind)
  const [pre, post, scans] = [of('pre-scan'), of('post-scan'), of('scan')]
  if (pre.length > 0 && post.length > 0)
    return pre.flatMap((one) => post.map((two): [DocumentFacts, DocumentFacts] => [one, two]))
  const named = pre.length > 0 ? pairByName(pre) : pairByName(post)
  if (named.length > 0) return named
  const all = [...pre, ...scans, ...post]
  return all.flatMap((one, index) =>
    all
      .slice(index + 1)
      .flatMap((two): [DocumentFacts, DocumentFacts][] =>
        one.kind === 'scan' || two.kind === 'scan' ? [[one, two]] : [],
      ),
  )
}

/** Reports that all say that they are of one scan, some of which are named as the other: "post-scan 4471.pdf". */
function pairByName(scans: readonly DocumentFacts[]): [DocumentFacts, DocumentFacts][] {
  const held = scans[0]?.kind === 'pre-scan' ? 'post-scan' : 'pre-scan'
  const [others, own] = [true, false].map((is) => scans.filter(({ file }) => (kindOfName(file) === held) === is))
  const [before, after] = held === 'post-scan' ? [own, others] : [others, own]
  return (before ?? []).flatMap((one) => (after ?? []).map((two): [DocumentFacts, DocumentFacts] => [one, two]))
}

function judge(packet: Packet, before: DocumentFacts, after: DocumentFacts): Outcome {
  const facts = compareScans(before, after)
  const bodies = [before, after].map(({ file }) => ({ file, lines: packet.content[file]?.lines ?? [] }))
  const [x, y] = bodies
  // Where the states differ, the lines do.
  const isText = facts.sameState && bodies.every(({ lines }) => lines.length >= leastLines)
  const lines = x !== undefined && y !== undefined && isText ? compareBodies(x, y) : null
  const numbers = bodies.map(findReportNumbers)
  const sameNumber = numbers[0] !== undefined && numbers[1] !== undefined && !numbers[0].isDisjointFrom(numbers[1])
  const found = decide(before, after, facts, lines, sameNumber)
  const isTold = before.kind !== 'scan' && after.kind !== 'scan'
  const message = !isTold && copies.has(found) ? 'copy' : found
  const data = {
    before: before.file,
    after: after.file,
    moment: before.date?.text ?? '',
    same: listSame(facts, sameNumber, found),
    differences: listDifferences(facts, lines, found),
  }
  const state = found.startsWith('differ')
    ? 'met'
    : found === 'nothing-tells-apart' || found === 'not-read'
      ? 'undecided'
      : 'unmet'
  const contrasts = state === 'met' ? [] : contrastsOf(before, after, lines)
  return {
    ...{ state, message, data, evidence: placesOf(before, after, lines), working: explain(facts, lines) },
    ...(contrasts.length > 0 ? { contrasts } : {}),
  }
}

/** The lines that differ, of both reports beside each other. */
function contrastsOf(before: DocumentFacts, after: DocumentFacts, lines: readonly LineDifference[] | null): Contrast[] {
  const side = (label: string, { file }: DocumentFacts, line: Place | null): ContrastSide =>
    line === null ? { label, file, text: '' } : { label, file, ...line }
  return (lines ?? []).slice(0, mostQuoted).map((line) => ({
    what: whats[line.cause],
    one: side(before.file, before, line.before),
    other: side(after.file, after, line.after),
  }))
}

const whats: Readonly<Record<LineDifference['cause'], string>> = {
  heading: 'a heading',
  time: 'a date or time',
  number: 'the number of the report',
  value: 'a measured value',
  body: 'what was found',
}

/** Fewer lines than these are no report. */
const leastLines = 5
const copies: ReadonlySet<string> = new Set(['same-file', 'same-report', 'same-moment', 'only-heading'])

function decide(
  before: DocumentFacts,
  after: DocumentFacts,
  facts: ScanComparison,
  lines: readonly LineDifference[] | null,
  sameNumber: boolean,
): string {
  if (before.sha256 !== '' && before.sha256 === after.sha256 && before.bytes === after.bytes) return 'same-file'
  if (!facts.sameState) return 'differ'
  if (lines === null) return decideByFacts(facts)
  const has = (cause: LineDifference['cause']) => lines.some((line) => line.cause === cause)
  const isOneMoment = facts.sameSecond || (facts.sameMoment && facts.sameVolts)
  if (has('body') || has('value') || facts.differing.length > 0) {
    if (facts.wasFound && isOneMoment) return 'same-moment'
    return has('body') ? 'differ' : 'differ-in-values'
  }
  const isOneReport = isOneMoment || (facts.sameMoment && facts.hasCodes) || (sameNumber && !has('number'))
  // Two times on one page, of the scan and of its print: the print may differ where the scan is the same.
  if (isOneReport) return 'same-report'
  return facts.sameVolts || facts.hasCodes || facts.sameMoment ? 'only-heading' : 'nothing-tells-apart'
}

/** Where one of the two has no words of its own, only what was read of both counts. */
function decideByFacts(facts: ScanComparison): string {
  if (!facts.wasFound) return 'not-read'
  if (facts.differing.length > 0 && !facts.sameSecond) return 'differ-in-values'
  return facts.sameSecond || (facts.sameMoment && facts.sameVolts) ? 'same-moment' : 'not-read'
}

function listSame(facts: ScanComparison, sameNumber: boolean, found: string): string[] {
  if (found === 'same-file') return ['every byte is the same']
  return [
    ...(facts.sameMoment ? ['the moment is the same'] : []),
    ...(sameNumber ? ['the report number is the same'] : []),
    ...(facts.sameVolts ? ['the voltage is the same'] : []),
    ...(facts.hasCodes ? ['the codes and their statuses are the same'] : []),
  ]
}

/** How many differing lines are quoted. */
const mostQuoted = 4

function listDifferences(facts: ScanComparison, lines: readonly LineDifference[] | null, found: string): string[] {
  const told = { differ: facts.states, 'differ-in-values': facts.differing }[found] ?? []
  if (told.length > 0) return told.slice(0, mostQuoted)
  const cause = { differ: ['body'], 'differ-in-values': ['value'] }[found]
  const chosen = (lines ?? []).filter((line) => cause === undefined || cause.includes(line.cause)).slice(0, mostQuoted)
  const quoted = chosen.map(({ before, after }) => `${quote(before)} and ${quote(after)}`)
  return quoted.length > 0 ? quoted : [found === 'differ' ? 'the modules or codes that are listed' : 'nothing']
}

function quote(line: { text: string } | null): string {
  return line === null ? 'no such line' : `"${line.text}"`
}

function explain(facts: ScanComparison, lines: readonly LineDifference[] | null): WorkingStep[] {
  const steps: WorkingStep[] = [
    {
      text: 'Modules, states and codes are the same: {sameState}; voltage: {sameVolts}; moment: {sameMoment}.',
      data: { sameState: facts.sameState, sameVolts: facts.sameVolts, sameMoment: facts.sameMoment },
    },
  ]
  if (lines === null) return steps
  const count = (cause: string) => lines.filter((line) => line.cause === cause).length
  const counts = { heading: count('heading'), time: count('time'), number: count('number') }
  steps.push({
    text: 'Lines that differ: {heading} in headings, {time} in dates and times, {number} in report numbers, {value} in measured values, {body} in anything else.',
    data: { ...counts, value: count('value'), body: count('body') },
  })
  return [
    ...steps,
    ...lines.slice(0, mostQuoted).map(({ cause, before, after }) => ({
      text: '{cause}: {before} and {after}.',
      data: { cause, before: quote(before), after: quote(after) },
    })),
  ]
}

function placesOf(before: DocumentFacts, after: DocumentFacts, lines: readonly LineDifference[] | null): FilePlace[] {
  const shown = (lines ?? [])
    .slice(0, mostQuoted)
    .flatMap((line) => [
      ...(line.before === null ? [] : [{ file: before.file, ...line.before }]),
      ...(line.after === null ? [] : [{ file: after.file, ...line.after }]),
    ])
  const codes = lines === null ? [before, after].flatMap(placesOfCodes) : []
  return distinctPlaces([...findPlaces(before, 'date'), ...findPlaces(after, 'date'), ...shown, ...codes])
}

function placesOfCodes(scan: DocumentFacts): FilePlace[] {
  return (scan.codes ?? []).slice(0, mostQuoted).flatMap((_, index) => findPlaces(scan, `codes.${index}`))
}
