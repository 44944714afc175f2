/** A report of an invented job, to be changed by each test. */
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
