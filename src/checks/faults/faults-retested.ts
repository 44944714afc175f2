/**
 * A cleared code stays away until its test has run again. Where a scan tells that it has not (status bit 4 of ISO 14229-1,
 * words, or hardly any distance since the clearing), an empty list of codes says little.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import { formatTroubleCode } from '../../facts/trouble-code.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { numberParameter } from '../parameters.ts'
import { findPlaces } from '../places.ts'
import { lastPostScans } from './post-scan-codes.ts'

export const faultsRetested: Check = {
  id: 'faults-retested',
  group: 'faults',
  claim: 'The tests of cleared codes had occasion to run again before the last post-scan.',
  messages: {
    'not-since-clear': {
      state: 'unmet',
      text: '{file} tells of {codes} that the test has not been completed since the codes were cleared.',
    },
    'tests-not-run': {
      state: 'unmet',
      text: '{file} tells that tests have not been completed since the codes were cleared: "{text}".',
    },
    'little-driven': {
      state: 'unmet',
      text: '{file} was taken {kilometres} km after the codes were cleared; a test that needs a drive of {least} km or more cannot have run.',
    },
    'no-cycle': {
      state: 'unmet',
      text: '{file} was taken {cycles} cycles after the codes were cleared; a test that needs one cannot have run.',
    },
    'driven-since': { state: 'met', text: '{file} was taken {kilometres} km after the codes were cleared.' },
    'cycled-since': { state: 'met', text: '{file} was taken {cycles} cycles after the codes were cleared.' },
    completed: { state: 'met', text: '{file} tells of each of its {count} codes that the test was completed.' },
    'not-this-cycle': {
      state: 'undecided',
      text: '{file} tells of {codes} that the test was not completed in the cycle of the scan; earlier cycles may have run it.',
    },
    'not-stated': {
      state: 'undecided',
      text: '{file} does not tell whether the tests of cleared codes have run since.',
    },
    'nothing-cleared': { state: 'undecided', text: 'Nothing in the packet tells of a code that was cleared.' },
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan.' },
  },
  parameters: {
    leastKilometres: 'Least distance between clearing and scan, in km, below which tests on the road cannot have run.',
  },
  remedy: 'A post-scan after a drive long enough for the tests to run, or one that tells that they were completed.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'a fault that comes back after release',
    calibrator: 'a fault that a later test finds in a sensor it calibrated',
  },
  collect: [
    {
      step: 'post-scan',
      per: 'job',
      text: 'Save with the post-scan how far the vehicle was driven since the codes were cleared, where the instrument shows it',
    },
  ],
  run(packet, parameters) {
    const least = numberParameter(parameters, 'leastKilometres')
    const scans = lastPostScans(packet)
    if (scans.length === 0) return [{ state: 'undecided', message: 'no-post-scan', data: {}, evidence: [] }]
    const cleared = tellsOfClearing(packet)
    const outcomes = scans.flatMap((scan) => judgeScan(scan, cleared, least))
    if (outcomes.length > 0) return outcomes
    return [{ state: 'undecided', message: 'nothing-cleared', data: {}, evidence: [] }]
  },
}

/** Codes before the work, or words about their clearing. */
function tellsOfClearing(packet: Packet): boolean {
  return packet.documents.some(
    ({ kind, codes = [], statements = [] }) =>
      (kind === 'pre-scan' && codes.length > 0) || statements.some(({ about }) => about === 'codes-cleared'),
  )
}

function judgeScan(scan: DocumentFacts, cleared: boolean, least: number): Outcome[] {
  const { file, codes = [], sinceClear } = scan
  const withTest = (test: string) =>
    codes.flatMap((code, index) => (code.test === test && code.status !== 'active' ? [{ code, index }] : []))
  const place = (found: { index: number }[]) => found.flatMap(({ index }) => findPlaces(scan, `codes.${index}`))
  const unmet = withTest('not-since-clear')
  if (unmet.length > 0) {
    const data = { file, codes: unmet.map(({ code }) => formatTroubleCode(code)) }
    return [{ state: 'unmet', message: 'not-since-clear', data, evidence: place(unmet) }]
  }
  if (sinceClear?.untested && cleared) {
    const data = { file, text: sinceClear.text }
    return [
      { state: 'unmet', message: 'tests-not-run', data, evidence: findPlaces(scan, 'sinceClear', sinceClear.text) },
    ]
  }
  if (sinceClear !== undefined && cleared) return [judgeDistance(scan, sinceClear, least)]
  const idle = withTest('not-this-cycle')
  if (idle.length > 0) {
    const data = { file, codes: idle.map(({ code }) => formatTroubleCode(code)) }
    return [{ state: 'undecided', message: 'not-this-cycle', data, evidence: place(idle) }]
  }
  const done = withTest('completed')
  if (done.length > 0 && done.length === codes.length)
    return [{ state: 'met', message: 'completed', data: { file, count: done.length }, evidence: place(done) }]
  if (!cleared) return []
  return [{ state: 'undecided', message: 'not-stated', data: { file }, evidence: findPlaces(scan, 'codes') }]
}

function judgeDistance(scan: DocumentFacts, since: NonNullable<DocumentFacts['sinceClear']>, least: number): Outcome {
  const { file } = scan
  const evidence = findPlaces(scan, 'sinceClear', since.text)
  if (since.metres !== undefined) {
    const kilometres = since.metres / 1000
    const data = { file, kilometres, least }
    if (kilometres < least) return { state: 'unmet', message: 'little-driven', data, evidence }
    return { state: 'met', message: 'driven-since', data, evidence }
  }
  if (since.cycles === undefined) return { state: 'undecided', message: 'not-stated', data: { file }, evidence }
  const data = { file, cycles: since.cycles }
  if (since.cycles === 0) return { state: 'unmet', message: 'no-cycle', data, evidence }
  return { state: 'met', message: 'cycled-since', data, evidence }
}
