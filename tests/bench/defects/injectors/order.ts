/** Defects of order: papers whose times cannot be true together, or show work done in the wrong order. */

import type { AnyPaper, Draft, PhotoPaper } from '../draft.ts'
import {
  alignmentOf,
  billOf,
  calibrationsOf,
  type Defect,
  driveOf,
  drivesOf,
  entriesOf,
  firstStart,
  isAlone,
  isDynamic,
  lastEnd,
  movePaper,
  pickEntry,
  type Recorded,
  scanOf,
} from './defect.ts'

const hour = 3600
const day = 24 * hour

function photoAt(pick: (draft: Draft) => number) {
  return (draft: Draft): string[] | null => {
    const photo = draft.papers.find((paper): paper is PhotoPaper => paper.kind === 'photo')
    if (!photo) return null
    photo.taken = pick(draft)
    photo.made = photo.taken
    return [photo.file]
  }
}

function moveScan(when: 'before' | 'after', to: (draft: Draft) => number) {
  return (draft: Draft): string[] | null => {
    const scan = scanOf(draft, when)
    const time = to(draft)
    if (!scan || !Number.isFinite(time)) return null
    movePaper(scan, time - scan.at)
    return [scan.file]
  }
}

export const orderDefects: Defect[] = [
  {
    check: 'pre-scan-precedes-work',
    name: 'after-repair',
    verdict: 'fail',
    plant(draft) {
      const repair = draft.declared?.repairs[0]
      return repair ? moveScan('before', () => repair.ended + hour / 2)(draft) : null
    },
  },
  {
    check: 'pre-scan-precedes-work',
    name: 'after-first-calibration',
    verdict: 'fail',
    plant: moveScan('before', (draft) => firstStart(draft) + 1.5 * hour),
  },
  {
    check: 'post-scan-follows-calibration',
    name: 'hour-before-end',
    verdict: 'fail',
    plant: moveScan('after', (draft) => lastEnd(draft) - hour),
  },
  {
    check: 'post-scan-follows-calibration',
    name: 'day-before',
    verdict: 'fail',
    plant: moveScan('after', (draft) => lastEnd(draft) - day),
  },
  {
    check: 'static-precedes-dynamic',
    name: 'swapped',
    verdict: 'fail',
    plant: (draft) => {
      for (const { entry, paper } of entriesOf(draft)) {
        const drive = entriesOf(draft).find((one) => one.entry.sensor === entry.sensor && isDynamic(one))
        if (entry.method !== 'static' || !drive || paper.entries.length > 1 || drive.paper.entries.length > 1) continue
        movePaper(paper, lastEnd(draft) + 12 * 60 - (entry.started ?? 0))
        for (const later of [scanOf(draft, 'after'), billOf(draft, 'invoice')]) if (later) movePaper(later, 2 * hour)
        if (draft.declared) draft.declared.release += 2 * hour
        return [paper.file, drive.paper.file]
      }
      return null
    },
  },
  {
    check: 'static-precedes-dynamic',
    name: 'drive-the-day-before',
    verdict: 'fail',
    plant: (draft) => {
      for (const found of entriesOf(draft).filter(isDynamic)) {
        const bay = entriesOf(draft).find(
          ({ entry }) => entry.sensor === found.entry.sensor && entry.method === 'static',
        )
        if (!bay || !isAlone(found)) continue
        movePaper(found.paper, -day)
        const log = driveOf(draft, found)
        if (log) movePaper(log, -day)
        return [found.paper.file, bay.paper.file]
      }
      return null
    },
  },
  {
    check: 'alignment-precedes-calibration',
    name: 'after-last',
    verdict: 'fail',
    plant(draft) {
      const alignment = alignmentOf(draft)
      const scan = scanOf(draft, 'after')
      if (!alignment || !scan) return null
      const shift = lastEnd(draft) + 0.3 * hour - alignment.started
      movePaper(alignment, shift)
      movePaper(scan, 2 * hour)
      for (const bill of [billOf(draft, 'invoice')]) if (bill) movePaper(bill, 2 * hour)
      if (draft.declared) draft.declared.release += 2 * hour
      return [alignment.file]
    },
  },
  {
    check: 'alignment-precedes-calibration',
    name: 'next-day',
    verdict: 'fail',
    plant(draft) {
      const alignment = alignmentOf(draft)
      if (!alignment) return null
      movePaper(alignment, lastEnd(draft) + day - alignment.started)
      return [alignment.file]
    },
  },
  {
    check: 'calibration-follows-repair',
    name: 'repair-next-day',
    verdict: 'fail',
    plant(draft) {
      const { declared } = draft
      if (!declared) return null
      for (const repair of declared.repairs) {
        repair.ended = lastEnd(draft) + 5 * hour
        repair.started = lastEnd(draft) + 2 * hour
      }
      declared.release = Math.max(declared.release, lastEnd(draft) + 8 * hour)
      return ['packet.yaml']
    },
  },
  {
    check: 'calibration-follows-repair',
    name: 'calibrated-first',
    verdict: 'fail',
    plant(draft, chance) {
      const { declared } = draft
      const found = pickEntry(
        draft,
        chance,
        (one) =>
          isAlone(one) && ['front-camera', 'front-radar', 'rear-camera', 'surround-camera'].includes(one.entry.sensor),
      )
      const repair = declared?.repairs[0]
      if (!found || !repair || (declared?.repairs.length ?? 0) > 1) return null
      const shift = repair.started - 3 * hour - (found.entry.ended ?? 0)
      movePaper(found.paper, shift)
      const log = isDynamic(found) ? driveOf(draft, found) : null
      if (log) movePaper(log, shift)
      return [found.paper.file, 'packet.yaml']
    },
  },
  {
    check: 'no-work-after-post-scan',
    name: 'alignment-after',
    verdict: 'fail',
    plant(draft) {
      const alignment = alignmentOf(draft)
      const scan = scanOf(draft, 'after')
      if (!alignment || !scan) return null
      movePaper(alignment, scan.at + hour - alignment.started)
      return [alignment.file, scan.file]
    },
  },
  {
    check: 'no-work-after-post-scan',
    name: 'repair-after',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      const repair = draft.declared?.repairs.at(-1)
      if (!scan || !repair) return null
      repair.started = scan.at + hour
      repair.ended = scan.at + 2 * hour
      if (draft.declared) draft.declared.release = Math.max(draft.declared.release, scan.at + 4 * hour)
      return ['packet.yaml', scan.file]
    },
  },
  {
    check: 'events-do-not-overlap',
    name: 'two-at-once',
    verdict: 'warn',
    plant(draft) {
      // Staggered: one run within the other may be a part of its session.
      const [first, second] = entriesOf(draft).filter((one) => one.entry.method === 'static' && isAlone(one))
      if (!first?.paper.head.instrument || !second) return null
      const [one, other] = [spanOf(first), spanOf(second)]
      if (!one || !other) return null
      const start = Math.max(one.started + 240, one.ended - 420)
      if (start + other.ended - other.started < one.ended + 240) return null
      movePaper(second.paper, start - other.started)
      return [first.paper.file, second.paper.file]
    },
  },
  {
    check: 'events-do-not-overlap',
    name: 'before-targets-and-on-the-road',
    verdict: 'fail',
    plant(draft) {
      const bay = entriesOf(draft).find((one) => one.entry.method === 'static' && isAlone(one))
      const drive = entriesOf(draft).find(isDynamic)
      const [standing, driven] = [bay && spanOf(bay), drive && spanOf(drive)]
      if (!bay || !drive || !standing || !driven || driven.ended - driven.started < 600) return null
      movePaper(bay.paper, driven.started + 60 - standing.started)
      return [bay.paper.file, drive.paper.file]
    },
  },
  // Whole hours may be the zone of a clock, as far as zones lie apart (26 hours); two days are none.
  { check: 'drive-inside-calibration', name: 'hour-before', verdict: 'warn', plant: (draft) => moveLog(draft, -hour) },
  { check: 'drive-inside-calibration', name: 'day-after', verdict: 'warn', plant: (draft) => moveLog(draft, day) },
  {
    check: 'drive-inside-calibration',
    name: 'other-drive-two-days-before',
    verdict: 'fail',
    plant: (draft) => moveLog(draft, -2 * day, 0.4),
  },
  {
    check: 'photos-inside-job',
    name: 'before-intake',
    verdict: 'warn',
    plant: photoAt((draft) => (scanOf(draft, 'before')?.at ?? 0) - 20 * day),
  },
  {
    check: 'photos-inside-job',
    name: 'after-release',
    verdict: 'warn',
    plant: photoAt((draft) => (draft.declared?.release ?? billOf(draft, 'invoice')?.at ?? 0) + 9 * day),
  },
  { check: 'printed-after-event', name: 'made-before', verdict: 'warn', plant: (draft) => stampFile(draft, -2 * day) },
  {
    check: 'printed-after-event',
    name: 'made-much-later',
    verdict: 'warn',
    plant: (draft) => stampFile(draft, 12 * day),
  },
  { check: 'clocks-agree', name: 'minutes-off', verdict: 'warn', plant: (draft) => offsetCalibrator(draft, 14 * 60) },
  { check: 'clocks-agree', name: 'two-days-off', verdict: 'fail', plant: (draft) => offsetCalibrator(draft, -2 * day) },
  {
    check: 'nothing-in-the-future',
    name: 'scan-next-year',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      movePaper(scan, 366 * day)
      return [scan.file]
    },
  },
  {
    check: 'nothing-in-the-future',
    name: 'invoice-next-year',
    verdict: 'fail',
    plant(draft) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      movePaper(bill, 365 * day)
      return [bill.file]
    },
  },
  {
    check: 'timeline-consistent',
    name: 'ends-before-start',
    verdict: 'fail',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, isAlone)
      if (!found || found.entry.started === null || found.entry.ended === null) return null
      found.entry.ended = found.entry.started - 40 * 60
      found.entry.steps = []
      return [found.paper.file]
    },
  },
  {
    check: 'timeline-consistent',
    name: 'duration-too-long',
    verdict: 'fail',
    plant(draft, chance) {
      const found = pickEntry(
        draft,
        chance,
        (one) => isAlone(one) && one.entry.durationSeconds !== null && one.entry.method !== 'dynamic',
      )
      if (!found) return null
      found.entry.durationSeconds = (found.entry.durationSeconds ?? 0) + 3 * hour
      return [found.paper.file]
    },
  },
  {
    check: 'job-inside-claim',
    name: 'loss-after-intake',
    verdict: 'fail',
    plant(draft) {
      if (!draft.declared) return null
      draft.declared.loss = draft.declared.intake + 3 * day
      for (const which of ['estimate', 'invoice', 'sublet'] as const) {
        const bill = billOf(draft, which)
        if (bill?.loss) bill.loss = draft.declared.loss
      }
      return [
        'packet.yaml',
        ...['estimate', 'invoice'].flatMap((which) => billOf(draft, which as 'estimate')?.file ?? []),
      ]
    },
  },
  {
    check: 'job-inside-claim',
    name: 'invoice-before-intake',
    verdict: 'warn',
    plant(draft) {
      const bill = billOf(draft, 'invoice')
      const scan = scanOf(draft, 'before')
      if (!bill || !scan) return null
      movePaper(bill, scan.at - 5 * day - bill.at)
      return [bill.file]
    },
  },
  {
    check: 'post-scan-fresh',
    name: 'week-old',
    verdict: 'warn',
    plant(draft) {
      const { declared } = draft
      const bill = billOf(draft, 'invoice')
      if (!declared || !bill) return null
      declared.release += 8 * day
      movePaper(bill, 8 * day)
      return [scanOf(draft, 'after')?.file ?? '', 'packet.yaml', bill.file]
    },
  },
  {
    check: 'post-scan-fresh',
    name: 'driven-since',
    verdict: 'warn',
    plant(draft) {
      const bill = billOf(draft, 'invoice')
      if (!bill || bill.head.miles === null) return null
      bill.head.miles += 140
      return [scanOf(draft, 'after')?.file ?? '', bill.file]
    },
  },
]

function spanOf({ entry }: Recorded): { started: number; ended: number } | null {
  const { started, ended } = entry
  return started === null || ended === null ? null : { started, ended }
}

/** `part`: how much of the log is left, so that it is of another length than the calibration. */
function moveLog(draft: Draft, seconds: number, part = 1): string[] | null {
  const [log] = drivesOf(draft)
  if (!log) return null
  const last = log.samples.at(-1)?.time ?? 0
  log.samples = log.samples.filter(({ time }) => time <= last * part)
  movePaper(log, seconds)
  return [
    log.file,
    ...entriesOf(draft)
      .filter(isDynamic)
      .map(({ paper }) => paper.file),
  ]
}

function stampFile(draft: Draft, seconds: number): string[] | null {
  const paper: AnyPaper | undefined =
    [scanOf(draft, 'after'), ...calibrationsOf(draft)].find((one) => one?.format === 'pdf') ?? undefined
  if (!paper) return null
  paper.made += seconds
  return [paper.file]
}

/** The calibrator's clock is off in everything it prints; nothing else changes. */
function offsetCalibrator(draft: Draft, seconds: number): string[] | null {
  const files = calibrationsOf(draft).map((paper) => {
    paper.head.clock = { ...paper.head.clock, aheadSeconds: paper.head.clock.aheadSeconds + seconds }
    return paper.file
  })
  return draft.papers.some(({ kind }) => kind === 'drive') ? files : null
}
