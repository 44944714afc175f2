/** A report of an invented job, to be changed by each test. */
import type { DocumentFacts } from '../../src/facts/document.ts'
import type { Finding, Report } from '../../src/findings/report.ts'

export function makeFinding(changes: Partial<Finding> = {}): Finding {
  return {
    check: 'vin-agrees',
    group: 'identity',
    claim: 'Every file that names a vehicle names the same one.',
    verdict: 'fail',
    message: 'another-vehicle',
    data: {},
    reason: 'one.pdf shows another VIN than two.pdf.',
    evidence: [{ file: 'one.pdf', page: 2, box: [1, 2, 3, 4], text: '1Q9ZZ' }],
    basis: 'One VIN is assigned to one vehicle.',
    remedy: 'Read the VIN at the vehicle.',
    rule: { rulebook: 'general', version: '1.0.0', effective: '2026-01-01' },
    exposes: ['shop', 'insurer'],
    exposure: [
      { party: 'shop', to: 'a packet that mixes two vehicles' },
      { party: 'insurer', to: 'paying for another vehicle' },
    ],
    suppliers: ['shop'],
    settledWith: 'vehicle',
    ...changes,
  }
}

export function makeReport(changes: Partial<Report> = {}): Report {
  return {
    report: 1,
    packet: 'job 12',
    digest: `sha256:${'ab'.repeat(32)}`,
    rulebook: { name: 'general', version: '1.0.0', sha256: 'cd'.repeat(32), effective: '2026-01-01' },
    reviewed: '2026-06-30',
    verdict: 'fail',
    vehicle: { vin: '1Q9ZZ1A10TB000001', year: 2026, make: 'Ostrava', model: 'Lindrel' },
    zone: 'America/Denver',
    documents: [],
    events: [],
    findings: [makeFinding()],
    counts: { pass: 0, warn: 0, fail: 1, notChecked: 0 },
    exposure: [],
    actions: { vehicle: [], papers: [] },
    cautions: ['A person decides.'],
    ...changes,
  }
}

const document: DocumentFacts = {
  file: 'one.pdf',
  sha256: 'ef'.repeat(32),
  bytes: 1200,
  media: 'application/pdf',
  kind: 'pre-scan',
  kindFrom: 'heading',
  pages: 3,
  codes: [{ code: 'C1A41', failureType: '78', status: 'active', module: 'Front radar', text: 'Out of aim' }],
  problems: [],
  evidence: {},
}

/** One with something in every section. */
export function makeFullReport(changes: Partial<Report> = {}): Report {
  const pass = makeFinding({ verdict: 'pass', check: 'vin-present', reason: 'Every record has a VIN.' })
  delete pass.remedy
  return makeReport({
    documents: [
      document,
      {
        ...document,
        file: 'two.pdf',
        kind: 'post-scan',
        codes: [],
        problems: [{ code: 'damaged', message: 'Page 2 is damaged.' }],
      },
    ],
    events: [
      {
        id: 'pre-scan-1',
        kind: 'pre-scan',
        label: 'pre-scan',
        file: 'one.pdf',
        earliestStart: '2026-05-18T14:36:00Z',
        latestStart: '2026-05-18T14:47:00Z',
        earliestEnd: '2026-05-18T14:50:00Z',
        latestEnd: '2026-05-18T15:00:00Z',
      },
      {
        id: 'release-1',
        kind: 'release',
        label: '',
        file: 'packet.yaml',
        earliestStart: null,
        latestStart: null,
        earliestEnd: null,
        latestEnd: null,
      },
    ],
    findings: [
      makeFinding({
        working: ['3 minus 1 is 2'],
      }),
      makeFinding({
        verdict: 'warn',
        check: 'scan-clear',
        group: 'faults',
        reason: 'two.pdf shows a code.',
        statements: [{ id: 'a', text: 'one.pdf says so', evidence: [] }],
      }),
      makeFinding({
        verdict: 'not-checked',
        check: 'drive-long',
        group: 'drive',
        reason: 'No drive is in the packet.',
      }),
      pass,
    ],
    counts: { pass: 1, warn: 1, fail: 1, notChecked: 1 },
    exposure: [
      {
        party: 'shop',
        fail: 1,
        warn: 1,
        to: [{ what: 'a packet that mixes two vehicles', verdict: 'fail', checks: ['vin-agrees'] }],
      },
    ],
    actions: {
      vehicle: [{ what: 'Read the VIN at the vehicle.', from: ['shop'], verdict: 'fail', checks: ['vin-agrees'] }],
      papers: [{ what: 'Print the scan again.', from: ['shop', 'owner'], verdict: 'warn', checks: ['scan-clear'] }],
    },
    ...changes,
  })
}
