/**
 * What every form of the report says, in words: its sections in order, their headings, labels and sentences. Text, HTML
 * and PDF differ in looks alone. Nothing is neutralised or escaped here; each form does that in its own way.
 */
import type { Contrast, Supplier } from '../checks/check.ts'
import type { DocumentFacts } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { ActionItem, Finding, PartyExposure, Report, Verdict } from '../findings/report.ts'
import { type CodesView, viewCodes } from './codes-view.ts'
import { type TimelineView, viewTimeline } from './events-view.ts'
import { count, describePlace, groupQuestions, kindWords, nameSuppliers, partyWords, verdictWords } from './words.ts'

/** A label and what stands beside it, a line each. */
export interface FieldView {
  label: string
  lines: string[]
}

export interface FindingView {
  /** From 1, over all that are shown in full. */
  number: number
  verdict: Verdict
  word: string
  reason: string
  fields: FieldView[]
  /** Readings that tell against each other, in the order of the finding. */
  contrasts: ContrastView[]
  /** Where it was read, for pictures. */
  evidence: readonly FilePlace[]
}

/** Two readings side by side. */
export interface ContrastView {
  what: string
  sides: [SideView, SideView]
}

export interface SideView {
  label: string
  /** As it was read, or that nothing stands there. */
  text: string
}

export interface FindingsView {
  heading: string
  groups: { question: string; findings: FindingView[] }[]
}

export interface ListView {
  heading: string
  lines: string[]
}

export interface ActionView {
  word: string
  verdict: Verdict
  what: string
  from: string
  settles: string
}

export interface ActionsView {
  heading: string
  items: ActionView[]
}

export interface ExposureView {
  heading: string
  parties: {
    party: string
    counts: string
    to: { word: string; verdict: Verdict; what: string; checks: string }[]
  }[]
}

export interface FileView {
  file: string
  kind: string
  size: string
  /** Empty for a file that could not be opened. */
  sha256: string
  problems: string[]
}

export interface ReportView {
  title: string
  verdict: Report['verdict']
  word: string
  meaning: string
  counts: { verdict: Verdict; label: string; number: number }[]
  head: { vehicle: string; files: string; findings: string; reviewed: string; digest: string }
  /** What needs the vehicle, then what papers can settle; those without an item are left out. */
  actions: ActionsView[]
  /** Failing, then warning; those without a finding are left out. */
  findings: FindingsView[]
  exposure: ExposureView | null
  /** Not checked, then what holds. */
  summaries: ListView[]
  problems: ListView | null
  timeline: TimelineView | null
  codes: CodesView | null
  files: { heading: string; files: FileView[] }
  rulebook: { heading: string; fields: FieldView[] }
  cautions: ListView
}

const verdictMeanings: Record<Report['verdict'], string> = {
  fail: 'The packet contradicts itself, or lacks what must be there.',
  warn: 'Nothing fails, and a person must look at something.',
  pass: 'Nothing was found that contradicts the work or is missing.',
}

/** `showWorking`: with the steps that led to the values of a finding, for whoever asks why. */
export function viewReport(report: Report, { showWorking = false } = {}): ReportView {
  const { verdict, counts, rulebook } = report
  return {
    title: `Review of ${report.packet}`,
    verdict,
    word: verdictWords[verdict],
    meaning: verdictMeanings[verdict],
    counts: [
      { verdict: 'fail', label: 'fail', number: counts.fail },
      { verdict: 'warn', label: 'warn', number: counts.warn },
      { verdict: 'pass', label: 'pass', number: counts.pass },
      { verdict: 'not-checked', label: 'not checked', number: counts.notChecked },
    ],
    head: {
      vehicle: describeVehicle(report.vehicle),
      files: describeFiles(report),
      findings: `${counts.fail} fail, ${counts.warn} warn, ${counts.pass} pass, ${counts.notChecked} not checked`,
      reviewed: `as of ${report.reviewed}, by the rulebook ${rulebook.name} ${rulebook.version}`,
      digest: report.digest,
    },
    actions: viewActions(report.actions),
    findings: viewFindings(report, showWorking),
    exposure: viewExposure(report.exposure),
    summaries: viewSummaries(report),
    problems: viewProblems(report),
    timeline: viewTimeline(report),
    codes: viewCodes(report.documents),
    files: { heading: `Files (${report.documents.length})`, files: report.documents.map(viewFile) },
    rulebook: {
      heading: 'Rulebook',
      fields: [
        { label: 'Name', lines: [`${rulebook.name} ${rulebook.version}`] },
        { label: 'In force', lines: [`from ${rulebook.effective}`] },
        { label: 'SHA-256', lines: [rulebook.sha256] },
      ],
    },
    cautions: { heading: 'Cautions', lines: [...report.cautions] },
  }
}

function viewFindings({ findings, rulebook }: Report, showWorking: boolean): FindingsView[] {
  const pick = (verdict: Verdict) => findings.filter((finding) => finding.verdict === verdict)
  const failing = pick('fail')
  const lists = [
    groupFindings('What fails', failing, { rulebook: rulebook.name, showWorking, first: 1 }),
    groupFindings('What a person must look at', pick('warn'), {
      rulebook: rulebook.name,
      showWorking,
      first: failing.length + 1,
    }),
  ]
  return lists.filter(({ groups }) => groups.length > 0)
}

export interface FindingsOptions {
  /** The rulebook of the report: rules of another are told with their origin. */
  rulebook: string
  showWorking: boolean
  /** The number of the first finding. */
  first: number
}

/** Findings in the order given, with a question for each new group. */
export function groupFindings(
  heading: string,
  findings: readonly Finding[],
  { rulebook, showWorking, first }: FindingsOptions,
): FindingsView {
  const groups: FindingsView['groups'] = []
  for (const [index, finding] of findings.entries()) {
    const question = groupQuestions[finding.group]
    const view = viewFinding(finding, first + index, rulebook, showWorking)
    const last = groups.at(-1)
    if (last?.question === question) last.findings.push(view)
    else groups.push({ question, findings: [view] })
  }
  return { heading: `${heading} (${findings.length})`, groups }
}

/** The fields of one finding are those that hold something. */
function viewFinding(finding: Finding, number: number, rulebook: string, showWorking: boolean): FindingView {
  const { verdict, reason, evidence, basis, rule, remedy, suppliers, check } = finding
  const origin = rule === undefined || rule.rulebook === rulebook ? [] : [describeOrigin(rule)]
  const steps = showWorking ? (finding.working ?? []) : []
  // The steps name every statement, each with what follows from it.
  const statements = steps.length > 0 ? [] : (finding.statements ?? [])
  const fields: FieldView[] = [
    { label: 'Read in', lines: [...new Set(evidence.map(describePlace))] },
    { label: 'Because', lines: statements.map(({ text }) => endSentence(text)) },
    { label: 'How', lines: steps.map(endSentence) },
    { label: 'Rule', lines: [basis, ...origin] },
    { label: 'To settle', lines: remedy === undefined ? [] : [remedy] },
    { label: 'Ask', lines: remedy === undefined || suppliers.length === 0 ? [] : [nameSuppliers(suppliers)] },
    { label: 'Exposed', lines: finding.exposure.map(describeExposure) },
    { label: 'Check', lines: [check] },
  ]
  return {
    number,
    verdict,
    word: verdictWords[verdict],
    reason,
    fields: fields.filter(({ lines }) => lines.length > 0),
    contrasts: (finding.contrasts ?? []).map(viewContrast),
    evidence,
  }
}

/** In words; what is empty is said to be. */
export function viewContrast({ what, one, other }: Contrast): ContrastView {
  return { what, sides: [viewSide(one), viewSide(other)] }
}

const viewSide = ({ label, text }: Contrast['one']): SideView => ({
  label,
  text: text.trim() === '' ? 'nothing there' : `“${text.trim()}”`,
})

/** Both readings as one line: "report.pdf, page 1: “failed” as first saved, “passed” as it is". */
export function describeContrast({ what, sides: [one, other] }: ContrastView): string {
  return `${what}: ${one.text} ${one.label}, ${other.text} ${other.label}`
}

/** "rulebook general 1.0.0 of 2026-01-01" */
export function describeOrigin({ rulebook, version, effective }: NonNullable<Finding['rule']>): string {
  return `rulebook ${rulebook} ${version} of ${effective}`
}

/** "shop, to a packet that mixes two vehicles" */
export function describeExposure({ party, to }: Finding['exposure'][number]): string {
  return `${partyWords[party]}, to ${to}`
}

const endSentence = (text: string): string => (/[.!?]$/.test(text) ? text : `${text}.`)

function viewActions({ vehicle, papers }: Report['actions']): ActionsView[] {
  const view = (heading: string, items: readonly ActionItem[]): ActionsView => ({
    heading,
    items: items.map(({ what, from, verdict, checks }) => ({
      word: verdictWords[verdict],
      verdict,
      what,
      from: describeSuppliers(from),
      settles: checks.join(', '),
    })),
  })
  const both = [view('Before this vehicle leaves', vehicle), view('Ask for', papers)]
  return both.filter(({ items }) => items.length > 0)
}

const describeSuppliers = (from: readonly Supplier[]): string =>
  from.length === 0 ? '' : `from ${nameSuppliers(from)}`

function viewExposure(exposure: readonly PartyExposure[]): ExposureView | null {
  if (exposure.length === 0) return null
  return {
    heading: 'Who is exposed, and to what',
    parties: exposure.map(({ party, fail, warn, to }) => ({
      party: partyWords[party],
      counts: `${fail} fail, ${warn} warn`,
      to: to.map(({ what, verdict, checks }) => ({
        word: verdictWords[verdict],
        verdict,
        what: `to ${what}`,
        checks: checks.join(', '),
      })),
    })),
  }
}

/** What could not be checked, and what holds: a line for each. */
function viewSummaries({ findings }: Report): ListView[] {
  const open = findings.filter(({ verdict }) => verdict === 'not-checked')
  const holding = findings.filter(({ verdict }) => verdict === 'pass')
  const lists = [
    {
      heading: `Not checked (${open.length}): the packet holds too little to say, or it does not apply`,
      lines: countAlike(open.map(({ reason }) => reason)),
    },
    { heading: `What holds (${holding.length})`, lines: summariseHolding(findings, holding) },
  ]
  return lists.filter(({ lines }) => lines.length > 0)
}

/** The claim, where every finding of its check passes; else what the single finding says. */
function summariseHolding(findings: readonly Finding[], holding: readonly Finding[]): string[] {
  const mixed = new Set(findings.filter(({ verdict }) => verdict !== 'pass').map(({ check }) => check))
  return [...new Set(holding.map(({ check, claim, reason }) => (mixed.has(check) ? reason : claim)))]
}

/** One line for what several checks say alike. */
function countAlike(reasons: readonly string[]): string[] {
  return [...new Set(reasons)].map((reason) => {
    const times = reasons.filter((other) => other === reason).length
    return times === 1 ? reason : `${reason} (${times} checks)`
  })
}

function viewProblems({ documents }: Report): ListView | null {
  const lines = documents.flatMap(({ file, problems }) => problems.map(({ message }) => `${file}: ${message}`))
  return lines.length === 0 ? null : { heading: `Reading problems (${lines.length})`, lines }
}

function describeVehicle({ vin, year, make, model, plate }: Report['vehicle']): string {
  const name = [year, make, model].filter((part) => part !== undefined).join(' ')
  return [
    vin === null ? 'no VIN could be read' : `VIN ${vin}`,
    ...(name === '' ? [] : [name]),
    ...(plate === undefined ? [] : [`plate ${plate}`]),
  ].join(', ')
}

function describeFiles({ documents }: Report): string {
  const troubled = documents.filter((document) => document.problems.length > 0).length
  const read = `${count(documents.length, 'file')} read`
  return troubled === 0 ? read : `${read}, ${troubled} of them with a reading problem`
}

function viewFile({ file, kind, media, bytes, pages, sha256, problems }: DocumentFacts): FileView {
  const size = `${media}, ${count(bytes, 'byte')}${pages === undefined ? '' : `, ${count(pages, 'page')}`}`
  return { file, kind: kindWords[kind], size, sha256, problems: problems.map(({ message }) => message) }
}
