/** What changed between two submissions of a packet, as `witnessmark compare A B --json` prints it. */
import type { DocumentKind } from '../facts/document.ts'
import type { FilePlace } from '../facts/reading.ts'
import type { Finding, Report, Verdict } from '../findings/report.ts'

export interface ComparedSide {
  packet: string
  digest: string
  /** The day of review, `YYYY-MM-DD`. */
  reviewed: string
  rulebook: Report['rulebook']
  verdict: Report['verdict']
  counts: Report['counts']
  vehicle: Report['vehicle']
  /** `packet.yaml` counts where there is one. */
  files: number
}

export interface FileSide {
  file: string
  /** Empty for a file that could not be opened. */
  sha256: string
  bytes: number
  kind: DocumentKind | 'declaration'
  pages?: number
  /** Of its date, as printed. */
  date?: string
}

/**
 * `not-compared`: the same name, and at least one of the two could not be opened.
 * `renamed-and-changed`: taken for one file by its words or its kind.
 */
export type FileChangeKind = 'added' | 'removed' | 'changed' | 'renamed' | 'renamed-and-changed' | 'not-compared'

/** What two files were taken for one by: `kind` means the only one of its kind that was left on either side. */
export type MatchedBy = 'name' | 'digest' | 'words' | 'kind'

export interface FileChange {
  change: FileChangeKind
  matchedBy: MatchedBy | null
  /** Null for what was added. */
  before: FileSide | null
  /** Null for what was removed. */
  after: FileSide | null
  /** Null for what was added, removed, renamed only or not compared. */
  words: WordsChange | null
}

/** A run of words that stand one after the other; the box is that of the lines they stand in. */
export interface WordRun extends FilePlace {
  words: number
}

export interface WordChange {
  /** Null where words were added. */
  before: WordRun | null
  /** Null where words were removed. */
  after: WordRun | null
}

export interface PageChange {
  /** Its number from 1; null for a page that was added. */
  before: number | null
  after: number | null
  /** `too-different`: so many words differ that a list would tell nothing. */
  state: 'changed' | 'moved' | 'added' | 'removed' | 'too-different'
  /** Other pages that it stood before, it now stands behind, or the other way round. */
  moved: boolean
  changes: WordChange[]
  /** Changes beyond those listed. */
  left: number
}

export interface WordsChange {
  /** `none`: neither has words to compare. */
  state: 'same' | 'different' | 'none'
  /** Those that differ. */
  pages: PageChange[]
}

export interface FactSide {
  file: string
  /** Dotted path in the facts of the file, as `witnessmark read FILE --json` prints them: `codes.0.status`. */
  path: string
  /** Its value as printed or, where it is not printed so, in words. */
  text: string
  places: FilePlace[]
}

export interface FactChange {
  change: 'changed' | 'added' | 'removed'
  /** Which fact, without numbers of list entries: `codes.status`. */
  fact: string
  /** The entry of a list that it belongs to, by what names it ("C1A67-54, Front camera"); empty for other facts. */
  about: string
  before: FactSide | null
  after: FactSide | null
  /** Indices of the changes of findings that rest on it. */
  findings: number[]
}

/**
 * `new`: fails or warns now, and did not. `worsened`: warned, fails now. `undecided`: cannot be decided any more.
 * `unchanged`: fails or warns as before. `eased`: failed, warns now. `settled`: failed or warned, and the claim is met now.
 * `not-raised`: the check does not say it any more, and nothing it says now answers it. `decided`: could not be decided,
 * and the claim is met now.
 */
export const findingChangeKinds = [
  'new',
  'worsened',
  'undecided',
  'unchanged',
  'eased',
  'settled',
  'not-raised',
  'decided',
] as const
export type FindingChangeKind = (typeof findingChangeKinds)[number]

export interface FindingSide extends Pick<Finding, 'message' | 'reason' | 'evidence'> {
  verdict: Verdict
}

export interface FindingChange extends Pick<Finding, 'check' | 'group' | 'claim'> {
  change: FindingChangeKind
  /** Null where the check did not say it. */
  before: FindingSide | null
  after: FindingSide | null
  /** Indices of changed facts that it rests on. */
  facts: number[]
  /** Indices of changed files that it rests on. */
  files: number[]
}

export interface Comparison {
  comparison: 1
  before: ComparedSide
  after: ComparedSide
  /** Both hold the same files under the same names. */
  identical: boolean
  files: FileChange[]
  /** Files that are the same, by name and digest. */
  sameFiles: number
  /** Of files that are in both. Those that a finding rests on come first. */
  facts: FactChange[]
  /** Changed facts beyond those listed. */
  factsLeft: number
  findings: FindingChange[]
  counts: Record<FindingChangeKind, number>
  cautions: string[]
}
