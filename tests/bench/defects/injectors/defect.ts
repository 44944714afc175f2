/** What a planted defect is, and ways to find what an injector changes. */
import type { Chance } from '../chance.ts'
import type {
  AlignmentPaper,
  AnyPaper,
  BillPaper,
  CalibrationEntry,
  CalibrationPaper,
  Draft,
  DrivePaper,
  NotePaper,
  PhotoPaper,
  ScanPaper,
} from '../draft.ts'

/** A desk whose rulebook asks for more than the general one. */
export type Desk = 'delivery'

export interface Defect {
  /** The check that must find it. */
  check: string
  name: string
  /** The verdict that it must give, or a worse one. */
  verdict: 'fail' | 'warn'
  /** The desk whose rulebook weighs it so; none: the general one. */
  desk?: Desk
  /**
   * Changes the draft, and nothing but what the defect changes. Returns the files that the finding must point into (one of
   * them; none: the finding is of something that is not there), or null where the draft has nothing of the kind.
   */
  plant(draft: Draft, chance: Chance): string[] | null
}

type Of<Kind extends AnyPaper['kind']> = Extract<AnyPaper, { kind: Kind }>

const ofKind = <Kind extends AnyPaper['kind']>(draft: Draft, kind: Kind): Of<Kind>[] =>
  draft.papers.filter((paper): paper is Of<Kind> => paper.kind === kind)

export const scanOf = (draft: Draft, when: 'before' | 'after'): ScanPaper | null =>
  ofKind(draft, 'scan').find((paper) => paper.when === when) ?? null
export const scansOf = (draft: Draft): ScanPaper[] => ofKind(draft, 'scan')
export const calibrationsOf = (draft: Draft): CalibrationPaper[] => ofKind(draft, 'calibration')
export const alignmentOf = (draft: Draft): AlignmentPaper | null => ofKind(draft, 'alignment')[0] ?? null
export const drivesOf = (draft: Draft): DrivePaper[] => ofKind(draft, 'drive')
export const photosOf = (draft: Draft, of: PhotoPaper['of']): PhotoPaper[] =>
  ofKind(draft, 'photo').filter((photo) => photo.of === of)
export const notesOf = (draft: Draft): NotePaper[] => ofKind(draft, 'note')
export const billOf = (draft: Draft, which: BillPaper['which']): BillPaper | null =>
  ofKind(draft, 'bill').find((paper) => paper.which === which) ?? null

/** Papers of an instrument. */
export const recordsOf = (draft: Draft): (ScanPaper | CalibrationPaper | AlignmentPaper)[] =>
  draft.papers.filter((paper) => paper.kind === 'scan' || paper.kind === 'calibration' || paper.kind === 'alignment')

export interface Recorded {
  paper: CalibrationPaper
  entry: CalibrationEntry
}

export const entriesOf = (draft: Draft): Recorded[] =>
  calibrationsOf(draft).flatMap((paper) => paper.entries.map((entry) => ({ paper, entry })))

/** One of the calibration records; null where the other defect of a pair left none. */
export function pickRecord(draft: Draft, chance: Chance): CalibrationPaper | null {
  const records = calibrationsOf(draft)
  return records.length === 0 ? null : chance.pick(records)
}

/** One of the recorded calibrations that fit. */
export function pickEntry(draft: Draft, chance: Chance, fits: (recorded: Recorded) => boolean): Recorded | null {
  const fitting = entriesOf(draft).filter(fits)
  return fitting.length === 0 ? null : chance.pick(fitting)
}

export const isDynamic = ({ entry }: Recorded): boolean => entry.method === 'dynamic'
export const isStatic = ({ entry }: Recorded): boolean => entry.method === 'static'
export const isAlone = ({ paper }: Recorded): boolean => paper.entries.length === 1

export function removePapers(draft: Draft, papers: readonly AnyPaper[]): void {
  draft.papers = draft.papers.filter((paper) => !papers.includes(paper))
}

/** The log of a dynamic calibration. */
export const driveOf = (draft: Draft, { entry }: Recorded): DrivePaper | null =>
  drivesOf(draft).find(({ sensor }) => sensor === entry.sensor) ?? null

/** Moves all times of a paper. */
export function movePaper(paper: AnyPaper, seconds: number): void {
  paper.made += seconds
  switch (paper.kind) {
    case 'scan':
    case 'bill':
    case 'note':
      paper.at += seconds
      return
    case 'alignment':
      paper.started += seconds
      paper.ended += seconds
      return
    case 'drive':
      paper.start += seconds
      return
    case 'photo':
      if (paper.taken !== null) paper.taken += seconds
      return
    case 'calibration':
      for (const entry of paper.entries) moveEntry(entry, seconds)
  }
}

export function moveEntry(entry: CalibrationEntry, seconds: number): void {
  if (entry.started !== null) entry.started += seconds
  if (entry.ended !== null) entry.ended += seconds
  for (const attempt of entry.attempts) attempt.at += seconds
}

/** When the last calibration ended. */
export const lastEnd = (draft: Draft): number => Math.max(...entriesOf(draft).map(({ entry }) => entry.ended ?? 0))
export const firstStart = (draft: Draft): number =>
  Math.min(...entriesOf(draft).map(({ entry }) => entry.started ?? Number.POSITIVE_INFINITY))

/** Swaps two neighbours that differ among the last signs, where a VIN's serial number stands; what parts them stays. */
export function swapNeighbours(text: string, chance: Chance): string | null {
  const places = [...text].flatMap((sign, at) =>
    at >= text.length - 6 && sign !== text[at + 1] && /^[A-Z0-9]{2}$/.test(text.slice(at, at + 2)) ? [at] : [],
  )
  if (places.length === 0) return null
  const at = chance.pick(places)
  return text.slice(0, at) + text[at + 1] + text[at] + text.slice(at + 2)
}
