/** Defects of completeness: papers that the work calls for and the packet does not hold. */
import type { Chance } from '../chance.ts'
import type { Draft } from '../draft.ts'
import {
  alignmentOf,
  billOf,
  calibrationsOf,
  type Defect,
  driveOf,
  drivesOf,
  entriesOf,
  isAlone,
  isDynamic,
  isStatic,
  notesOf,
  photosOf,
  pickEntry,
  type Recorded,
  removePapers,
  scanOf,
} from './defect.ts'

/** Takes a calibration out of the packet, with its log and its photograph. */
function dropRecord(draft: Draft, found: Recorded): void {
  const { paper, entry } = found
  const log = isDynamic(found) ? driveOf(draft, found) : null
  if (paper.entries.length === 1) removePapers(draft, [paper])
  else paper.entries = paper.entries.filter((one) => one !== entry)
  const target = entry.sensor.replace('-', ' ')
  const stays = entriesOf(draft).some((one) => one.entry.sensor === entry.sensor && isStatic(one))
  removePapers(draft, [
    ...(log ? [log] : []),
    ...(stays ? [] : photosOf(draft, 'targets').filter(({ text }) => text === target)),
  ])
}

const isBilledLike =
  (entry: Recorded['entry']) => (line: { calibration?: { sensor: string; position: string | null; method: string } }) =>
    line.calibration?.sensor === entry.sensor &&
    line.calibration.position === entry.position &&
    line.calibration.method === entry.method

function dropBilling(draft: Draft, entry: Recorded['entry']): void {
  for (const which of ['estimate', 'invoice', 'sublet'] as const) {
    const bill = billOf(draft, which)
    if (bill) bill.lines = bill.lines.filter((line) => !isBilledLike(entry)(line))
  }
}

/** The same sensor is not calibrated in another way besides. */
const isOnly =
  (draft: Draft) =>
  (one: Recorded): boolean =>
    entriesOf(draft).filter(({ entry }) => entry.sensor === one.entry.sensor && entry.position === one.entry.position)
      .length === 1

export const completenessDefects: Defect[] = [
  {
    check: 'pre-scan-present',
    name: 'none',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'before')
      if (!scan) return null
      removePapers(draft, [scan])
      return []
    },
  },
  {
    check: 'pre-scan-present',
    name: 'only-billed',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'before')
      if (!scan || notesOf(draft).length === 0) return null
      removePapers(draft, [scan, ...photosOf(draft, 'vin')])
      return []
    },
  },
  {
    check: 'post-scan-present',
    name: 'none',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      removePapers(draft, [scan])
      return []
    },
  },
  {
    check: 'post-scan-present',
    name: 'none-and-not-billed',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      const bill = billOf(draft, 'invoice')
      if (!scan || !bill) return null
      removePapers(draft, [scan])
      bill.lines = bill.lines.filter(({ of }) => of !== 'scan-after')
      return []
    },
  },
  {
    check: 'calibration-recorded',
    name: 'declared-not-recorded',
    verdict: 'fail',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, isOnly(draft))
      if (!found || !draft.declared || calibrationsOf(draft).length < 2) return null
      dropRecord(draft, found)
      return ['packet.yaml']
    },
  },
  {
    check: 'calibration-recorded',
    name: 'one-of-two-methods',
    verdict: 'fail',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, (one) => !isOnly(draft)(one))
      if (!found || !draft.declared) return null
      dropRecord(draft, found)
      return ['packet.yaml']
    },
  },
  {
    check: 'repair-calls-for',
    name: 'neither-recorded-nor-excused',
    verdict: 'warn',
    plant: (draft, chance) => (draft.declared ? forgetCalibration(draft, chance) : null),
  },
  {
    check: 'repair-calls-for',
    name: 'undeclared-and-not-recorded',
    verdict: 'warn',
    plant: (draft, chance) => (draft.declared ? null : forgetCalibration(draft, chance)),
  },
  {
    check: 'drive-recorded',
    name: 'no-log-no-times',
    verdict: 'fail',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, (one) => isDynamic(one) && isAlone(one))
      if (!found || drivesOf(draft).length > 1) return null
      removePapers(draft, drivesOf(draft))
      Object.assign(found.entry, { started: null, ended: null, durationSeconds: null, steps: [], attempts: [] })
      return [found.paper.file]
    },
  },
  {
    check: 'drive-recorded',
    name: 'times-only',
    verdict: 'warn',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, isDynamic)
      if (!found) return null
      removePapers(draft, drivesOf(draft))
      return [
        found.paper.file,
        ...entriesOf(draft)
          .filter(isDynamic)
          .map(({ paper }) => paper.file),
      ]
    },
  },
  {
    check: 'target-setup-photographed',
    name: 'no-photo',
    verdict: 'warn',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, isStatic)
      const photos = photosOf(draft, 'targets')
      if (!found || photos.length === 0) return null
      removePapers(draft, photos)
      return []
    },
  },
  {
    check: 'target-setup-photographed',
    name: 'no-photo-at-all',
    verdict: 'warn',
    plant(draft, chance) {
      const found = pickEntry(draft, chance, isStatic)
      const photos = draft.papers.filter(({ kind }) => kind === 'photo')
      if (!found || photos.length === 0) return null
      removePapers(draft, photos)
      return []
    },
  },
  {
    check: 'alignment-recorded',
    name: 'none',
    verdict: 'warn',
    plant(draft) {
      const alignment = alignmentOf(draft)
      const bill = billOf(draft, 'invoice')
      const estimate = billOf(draft, 'estimate')
      if (!alignment || !bill || !estimate) return null
      removePapers(draft, [alignment])
      for (const paper of [bill, estimate]) paper.lines = paper.lines.filter(({ of }) => of !== 'alignment')
      return []
    },
  },
  {
    check: 'alignment-recorded',
    name: 'estimated-not-recorded',
    verdict: 'warn',
    plant(draft) {
      const alignment = alignmentOf(draft)
      const bill = billOf(draft, 'invoice')
      if (!alignment || !bill) return null
      removePapers(draft, [alignment])
      bill.lines = bill.lines.filter(({ of }) => of !== 'alignment')
      return []
    },
  },
]

/** A calibration that a repair calls for stands on no paper at all. */
function forgetCalibration(draft: Draft, chance: Chance): string[] | null {
  const found = pickEntry(
    draft,
    chance,
    (one) => isOnly(draft)(one) && ['front-camera', 'front-radar'].includes(one.entry.sensor),
  )
  if (!found || calibrationsOf(draft).length < 2) return null
  dropRecord(draft, found)
  dropBilling(draft, found.entry)
  if (draft.declared)
    draft.declared.calibrations = draft.declared.calibrations.filter(
      (one) =>
        !(
          one.sensor === found.entry.sensor &&
          one.position === found.entry.position &&
          one.method === found.entry.method
        ),
    )
  return ['estimate', 'invoice']
    .flatMap((which) => billOf(draft, which as 'estimate')?.file ?? [])
    .concat('packet.yaml')
}
