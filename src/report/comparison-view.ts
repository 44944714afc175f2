/** What every form of a comparison says, in words. Nothing is neutralised or escaped here. */
import type {
  ComparedSide,
  Comparison,
  FactChange,
  FactSide,
  FileChange,
  FindingChange,
  FindingChangeKind,
} from '../compare/comparison.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Verdict } from '../findings/report.ts'
import { nameFact } from './fact-words.ts'
import type { FieldView } from './view.ts'
import { type PageChangeView, viewWordChanges } from './word-changes-view.ts'
import { count, describePlace, kindWords, verdictWords } from './words.ts'

export interface VerdictView {
  verdict: Verdict
  word: string
}

export interface SideView extends VerdictView {
  packet: string
  fields: FieldView[]
}

export interface FactView {
  label: string
  before: FieldView
  after: FieldView
  /** Checks whose findings rest on it; empty where none does. */
  checks: string
}

export interface FindingChangeView {
  verdict: Verdict
  word: string
  /** "was FAIL" */
  was: string
  check: string
  /** One where both say the same. */
  sentences: FieldView[]
  fields: FieldView[]
}

export interface FileChangeView {
  word: string
  name: string
  remarks: string[]
}

export interface ComparisonView {
  title: string
  summary: string
  before: SideView
  after: SideView
  /** Those that findings rest on, then the others. */
  usedFacts: { heading: string; facts: FactView[] }
  otherFacts: { heading: string; facts: FactView[]; left: string }
  findings: { heading: string; meaning: string; findings: FindingChangeView[] }[]
  files: { heading: string; files: FileChangeView[]; same: string }
  /** Pages of all files on which words differ. */
  words: { heading: string; pages: PageChangeView[] }
  cautions: { heading: string; lines: string[] }
}

export function viewComparison(comparison: Comparison): ComparisonView {
  const { before, after, facts, files, factsLeft } = comparison
  const used = facts.filter(({ findings }) => findings.length > 0)
  const others = facts.filter(({ findings }) => findings.length === 0)
  const view = (fact: FactChange) => viewFact(fact, comparison)
  return {
    title: `Changes from ${before.packet} to ${after.packet}`,
    summary: summarise(comparison),
    before: viewSide(before),
    after: viewSide(after),
    usedFacts: { heading: `Changed facts that findings rest on (${used.length})`, facts: used.map(view) },
    otherFacts: {
      heading: `${used.length > 0 ? 'Other changed facts' : 'Changed facts'} (${others.length + factsLeft})`,
      facts: others.map(view),
      left: factsLeft === 0 ? '' : `${count(factsLeft, 'more changed fact')} not listed here.`,
    },
    findings: kindOrder.flatMap((kind) => viewFindings(kind, comparison)),
    files: {
      heading: `Files (${files.length} changed)`,
      files: files.map(viewFile),
      same: `${count(comparison.sameFiles, 'file')} the same, by name and digest.`,
    },
    words: viewWordChanges(comparison),
    cautions: { heading: 'Cautions', lines: comparison.cautions },
  }
}

const kindHeadings: Record<FindingChangeKind, readonly [heading: string, meaning: string, short: string]> = {
  new: ['New findings', 'These fail or warn now, and did not.', 'new'],
  worsened: ['Worse than before', 'These warned, and fail now.', 'worse'],
  undecided: ['No longer decided', 'What the packet holds now is too little to say.', 'no longer decided'],
  unchanged: ['Unchanged', 'These fail or warn as before.', 'unchanged'],
  eased: ['Better than before', 'These failed, and warn now.', 'better'],
  settled: ['Settled', 'These failed or warned; what the packet holds now meets the claim.', 'settled'],
  'not-raised': [
    'No longer raised',
    'These failed or warned. The check does not say so any more, and nothing shows that it is settled.',
    'no longer raised',
  ],
  decided: ['Decided now', 'These could not be checked; what the packet holds now meets the claim.', 'decided now'],
}

/** In the order in which they are told. */
const kindOrder = Object.keys(kindHeadings) as FindingChangeKind[]

function summarise({ identical, counts, before, after }: Comparison): string {
  const parts = kindOrder.flatMap((kind) => (counts[kind] === 0 ? [] : [`${counts[kind]} ${kindHeadings[kind][2]}`]))
  const verdicts =
    before.verdict === after.verdict
      ? `The verdict is ${verdictWords[after.verdict]}, as before.`
      : `The verdict was ${verdictWords[before.verdict]} and is ${verdictWords[after.verdict]} now.`
  const files = identical ? ' Both hold the same files under the same names.' : ''
  return `${verdicts}${files} ${parts.length === 0 ? 'No finding changed.' : `Findings: ${parts.join(', ')}.`}`
}

function viewSide({ packet, verdict, counts, files, digest, reviewed, rulebook, vehicle }: ComparedSide): SideView {
  return {
    packet,
    verdict,
    word: verdictWords[verdict],
    fields: [
      {
        label: 'Findings',
        lines: [`${counts.fail} fail, ${counts.warn} warn, ${counts.pass} pass, ${counts.notChecked} not checked`],
      },
      { label: 'Vehicle', lines: [vehicle.vin === null ? 'no VIN could be read' : `VIN ${vehicle.vin}`] },
      { label: 'Files', lines: [String(files)] },
      { label: 'Reviewed', lines: [`as of ${reviewed}, by the rulebook ${rulebook.name} ${rulebook.version}`] },
      { label: 'Digest', lines: [digest] },
    ],
  }
}

function viewFact(fact: FactChange, { findings }: Comparison): FactView {
  const files = [...new Set([fact.before, fact.after].flatMap((side) => side?.file ?? []))]
  const checks = new Set(fact.findings.map((index) => findings[index]?.check ?? ''))
  return {
    label: `${nameFact(fact)}, in ${files.join(' → ')}`,
    before: viewFactSide('Before', fact.before),
    after: viewFactSide('After', fact.after),
    checks: [...checks].join(', '),
  }
}

/** Of one side of a fact. */
const mostPlaces = 3

function viewFactSide(label: string, side: FactSide | null): FieldView {
  if (side === null) return { label, lines: ['not stated'] }
  const places = side.places.filter(({ text }) => text.trim() !== '').map(describePlace)
  const shown = [...new Set(places)]
  const more = shown.length > mostPlaces ? [`and ${shown.length - mostPlaces} more places`] : []
  return { label, lines: [side.text, ...shown.slice(0, mostPlaces), ...more] }
}

function viewFindings(kind: FindingChangeKind, comparison: Comparison): ComparisonView['findings'] {
  const found = comparison.findings.filter(({ change }) => change === kind)
  const [heading, meaning] = kindHeadings[kind]
  if (found.length === 0) return []
  return [
    { heading: `${heading} (${found.length})`, meaning, findings: found.map((one) => viewFinding(one, comparison)) },
  ]
}

function viewFinding(finding: FindingChange, { facts, files }: Comparison): FindingChangeView {
  const { before, after, check } = finding
  const [was, is] = [before?.verdict, after?.verdict]
  const [wasWord, isWord] = [was, is].map((verdict) => (verdict === undefined ? 'not raised' : verdictWords[verdict]))
  const isSame = before !== null && before.reason === after?.reason
  const tell = (label: string, side: FindingChange['before']): FieldView[] =>
    side === null ? [] : [{ label, lines: [side.reason] }]
  const rests = finding.facts.flatMap((index) => facts[index] ?? []).map(nameFact)
  const names = finding.files.flatMap((index) => files[index] ?? []).map((file) => `${nameFile(file)}: ${file.change}`)
  const places = (after ?? before)?.evidence ?? []
  return {
    verdict: is ?? 'not-checked',
    word: isWord ?? '',
    was: was === is ? 'as before' : `was ${wasWord}`,
    check,
    sentences: isSame ? tell('As before', after) : [...tell('Before', before), ...tell('After', after)],
    fields: [
      { label: 'Read in', lines: listPlaces(places) },
      { label: 'Facts', lines: [...new Set(rests)].map((name) => `changed: ${name}`) },
      { label: 'Files', lines: names },
    ].filter(({ lines }) => lines.length > 0),
  }
}

function listPlaces(places: readonly FilePlace[]): string[] {
  const told = [...new Set(places.map(describePlace))]
  return told.length <= 4 ? told : [...told.slice(0, 3), `and ${told.length - 3} more places`]
}

const changeWords: Record<FileChange['change'], string> = {
  added: 'added',
  removed: 'removed',
  changed: 'changed',
  renamed: 'renamed',
  'renamed-and-changed': 'renamed and changed',
  'not-compared': 'not compared',
}

function nameFile({ before, after }: FileChange): string {
  return [...new Set([before, after].flatMap((side) => side?.file ?? []))].join(' → ')
}

const matchWords = {
  name: '',
  digest: '',
  words: 'taken for one file by the words that both hold',
  kind: 'taken for one file as the only one of its kind on either side',
} as const

function viewFile(change: FileChange): FileChangeView {
  const { before, after, matchedBy, words } = change
  const side = after ?? before
  const kind = side === null ? '' : side.kind === 'declaration' ? 'declaration' : kindWords[side.kind]
  const dated = side?.date === undefined ? kind : `${kind}, ${side.date}`
  const remarks = [
    dated,
    matchedBy === null ? '' : matchWords[matchedBy],
    change.change === 'not-compared' ? 'could not be opened on at least one side' : '',
    words?.state === 'same' ? 'its bytes differ, and every word is the same' : '',
    words?.state === 'none' ? 'its bytes differ, and it holds no words to compare' : '',
    words?.state === 'different' ? `words differ on ${count(words.pages.length, 'page')}` : '',
  ]
  return { word: changeWords[change.change], name: nameFile(change), remarks: remarks.filter((text) => text !== '') }
}
