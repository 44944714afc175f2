/** Defects of completeness: what a record does not say of who, when, with what and by which instructions. */
import type { AnyPaper, Draft } from '../draft.ts'
import {
  calibrationsOf,
  type Defect,
  entriesOf,
  isAlone,
  isDynamic,
  isStatic,
  notesOf,
  pickEntry,
  pickRecord,
  recordsOf,
  removePapers,
  scanOf,
} from './defect.ts'

export const unsaidDefects: Defect[] = [
  {
    check: 'technician-named',
    name: 'record-without',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = pickRecord(draft, chance)
      if (!paper) return null
      forgetTechnician(paper)
      forgetPeople(draft)
      return [paper.file]
    },
  },
  {
    check: 'technician-named',
    name: 'no-record-names-one',
    verdict: 'warn',
    plant(draft) {
      for (const paper of recordsOf(draft)) forgetTechnician(paper)
      forgetPeople(draft)
      return calibrationsOf(draft).map(({ file }) => file)
    },
  },
  {
    check: 'equipment-named',
    name: 'no-instrument',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = pickRecord(draft, chance)
      if (!paper) return null
      paper.head.instrument = null
      return [paper.file]
    },
  },
  {
    check: 'equipment-named',
    name: 'no-software',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = pickRecord(draft, chance)
      if (!paper?.head.instrument) return null
      paper.head.instrument = { ...paper.head.instrument, software: null }
      return [paper.file]
    },
  },
  {
    check: 'equipment-named',
    name: 'on-no-calibration',
    verdict: 'warn',
    plant(draft) {
      for (const paper of calibrationsOf(draft)) paper.head.instrument = null
      return calibrationsOf(draft).map(({ file }) => file)
    },
  },
  {
    check: 'people-identified',
    name: 'nobody-answers',
    verdict: 'warn',
    desk: 'delivery',
    plant: (draft) => forgetReviewer(draft),
  },
  {
    check: 'people-identified',
    name: 'no-release-sheet',
    verdict: 'warn',
    desk: 'delivery',
    plant(draft) {
      const notes = notesOf(draft)
      if (notes.length === 0) return null
      removePapers(draft, notes)
      return forgetReviewer(draft)
    },
  },
  {
    check: 'procedure-cited',
    name: 'none',
    verdict: 'warn',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, (one) => isAlone(one) && (isStatic(one) || isDynamic(one)))
      if (!found) return null
      found.entry.procedure = null
      return [found.paper.file]
    },
  },
  {
    check: 'procedure-cited',
    name: 'on-no-record',
    verdict: 'warn',
    plant(draft) {
      const asked = entriesOf(draft).filter((one) => isStatic(one) || isDynamic(one))
      for (const { entry } of asked) entry.procedure = null
      return asked.length === 0 ? null : asked.map(({ paper }) => paper.file)
    },
  },
  {
    check: 'dates-present',
    name: 'scan-without-date',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      scan.dating = 'none'
      return [scan.file]
    },
  },
  {
    check: 'dates-present',
    name: 'calibration-without-date',
    verdict: 'fail',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, isAlone)
      if (!found) return null
      found.paper.dating = 'none'
      found.entry.attempts = []
      found.entry.steps = []
      return [found.paper.file]
    },
  },
  {
    check: 'dates-present',
    name: 'day-only',
    verdict: 'warn',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      scan.dating = 'day'
      return [scan.file]
    },
  },
  {
    check: 'instrument-in-date',
    name: 'expired',
    verdict: 'fail',
    plant(draft, chance) {
      const paper = pickRecord(draft, chance)
      if (!paper?.head.instrument) return null
      paper.head.instrument = { ...paper.head.instrument, checkedUntil: '2025-06-30' }
      return [paper.file]
    },
  },
  {
    check: 'instrument-in-date',
    name: 'expired-scanner',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan?.head.instrument) return null
      scan.head.instrument = { ...scan.head.instrument, checkedUntil: '2025-09-30' }
      return [scan.file]
    },
  },
]

/** No sheet and no declaration names who looked over the work. */
function forgetReviewer(draft: Draft): string[] {
  for (const note of notesOf(draft)) note.fields = note.fields.filter(([label]) => !/reviewed|released/i.test(label))
  if (draft.declared) draft.declared.people = draft.declared.people.filter(({ role }) => role !== 'reviewer')
  return []
}

/** Whoever drove or watched the instrument did the work of a drive: a record that names them names who did it. */
function forgetTechnician(paper: AnyPaper): void {
  paper.head.technician = null
  if (paper.kind !== 'calibration') return
  for (const entry of paper.entries) Object.assign(entry, { driver: null, observer: null })
}

function forgetPeople({ declared }: Draft): void {
  if (declared) declared.people = declared.people.filter(({ role }) => role !== 'technician')
}
