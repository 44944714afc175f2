/** Who is exposed to what by the findings of a report, and what would settle them. No accusation, and no legal advice. */
import { type Party, parties, type Supplier } from '../checks/check.ts'
import type { ActionItem, Finding, PartyExposure, Report } from './report.ts'

const asksForSomething = ({ verdict }: Finding): boolean => verdict === 'fail' || verdict === 'warn'

/** One entry for each party that a failing or warning finding exposes, in the order of `parties`; worst first within one. */
export function summariseExposure(findings: readonly Finding[]): PartyExposure[] {
  const open = findings.filter(asksForSomething)
  return parties.flatMap((party): PartyExposure[] => {
    const own = open.filter(({ exposes }) => exposes.includes(party))
    if (own.length === 0) return []
    const count = (verdict: Finding['verdict']) => own.filter((finding) => finding.verdict === verdict).length
    return [{ party, fail: count('fail'), warn: count('warn'), to: gatherRisks(own, party) }]
  })
}

function gatherRisks(findings: readonly Finding[], party: Party): PartyExposure['to'] {
  const risks = new Map<string, { verdict: Finding['verdict']; checks: Set<string> }>()
  for (const { check, verdict, exposure } of findings) {
    const what = exposure.find((entry) => entry.party === party)?.to ?? ''
    // Findings come worst first, so the first verdict of a risk is its worst.
    const risk = risks.get(what) ?? { verdict, checks: new Set() }
    risk.checks.add(check)
    risks.set(what, risk)
  }
  return [...risks].map(([what, { verdict, checks }]) => ({ what, verdict, checks: [...checks] }))
}

/**
 * What would settle the failing and warning findings, each remedy once, worst first: what needs the vehicle at hand,
 * which is to be done before it leaves, and what can be asked for on paper.
 */
export function listActions(findings: readonly Finding[]): Report['actions'] {
  const items = new Map<string, ActionItem & { settledWith: Finding['settledWith'] }>()
  for (const finding of findings.filter(asksForSomething)) {
    const { check, verdict, remedy, suppliers, settledWith } = finding
    if (remedy === undefined) continue
    const item = items.get(remedy)
    if (item === undefined)
      items.set(remedy, { what: remedy, from: [...suppliers], verdict, checks: [check], settledWith })
    else {
      if (!item.checks.includes(check)) item.checks.push(check)
      item.from = mergeSuppliers(item.from, suppliers)
    }
  }
  const pick = (wanted: Finding['settledWith']): ActionItem[] =>
    [...items.values()].filter((item) => item.settledWith === wanted).map(({ settledWith: _, ...item }) => item)
  return { vehicle: pick('vehicle'), papers: pick('papers') }
}

const mergeSuppliers = (a: readonly Supplier[], b: readonly Supplier[]): Supplier[] => [...new Set([...a, ...b])]
