/** Defects of completeness: what the work calls for and the packet does not hold. */

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
  pickRecord,
  type Recorded,
  recordsOf,
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
  {
    check: 'technician-named',
    name: 'record-without',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = pickRecord(draft, chance)
      if (!paper) return null
      paper.head.technician = null
      forgetPeople(draft)
      return [paper.file]
    },
  },
  {
    check: 'technician-named',
    name: 'no-record-names-one',
    verdict: 'warn',
    plant(draft) {
      for (const paper of recordsOf(draft)) paper.head.technician = null
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
    check: 'modules-covered',
    name: 'omitted',
    verdict: 'fail',
    plant(draft, chance) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      const gone = chance.pick(scan.modules.slice(0, 7))
      scan.modules = scan.modules.filter((module) => module !== gone)
      scan.statedModules = scan.modules.length
      return [scan.file]
    },
  },
  {
    check: 'modules-covered',
    name: 'sensor-module-omitted',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan || !entriesOf(draft).some(({ entry }) => entry.sensor === 'front-radar')) return null
      scan.modules = scan.modules.filter(({ name }) => !/front radar|distance radar/i.test(name))
      scan.statedModules = scan.modules.length
      return [scan.file]
    },
  },
  {
    check: 'pages-complete',
    name: 'page-missing',
    verdict: 'warn',
    plant: (draft, chance) => tearPage(draft, chance.whole(1, 2)),
  },
  { check: 'pages-complete', name: 'last-page-missing', verdict: 'warn', plant: (draft) => tearPage(draft, 2) },
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
    check: 'files-readable',
    name: 'cut-off',
    verdict: 'fail',
    plant(draft, chance) {
      const pdfs = recordsOf(draft).filter(({ format }) => format === 'pdf')
      if (pdfs.length === 0) return null
      const { file } = chance.pick(pdfs)
      draft.damage.push({ file, how: 'cut' })
      return [file]
    },
  },
  {
    check: 'files-readable',
    name: 'empty',
    verdict: 'fail',
    plant(draft, chance) {
      const { file } = chance.pick(recordsOf(draft))
      draft.damage.push({ file, how: 'empty' })
      return [file]
    },
  },
  {
    check: 'files-readable',
    name: 'garbled',
    verdict: 'fail',
    plant(draft, chance) {
      const pdfs = recordsOf(draft).filter(({ format }) => format === 'pdf')
      if (pdfs.length === 0) return null
      const { file } = chance.pick(pdfs)
      draft.damage.push({ file, how: 'garbage' })
      return [file]
    },
  },
  {
    check: 'files-recognised',
    name: 'stray-text',
    verdict: 'warn',
    plant(draft) {
      draft.extra.push({ file: 'list.txt', text: 'blue  4\r\nred   7\r\ngreen 12\r\nwhite 3\r\n' })
      return ['list.txt']
    },
  },
  {
    check: 'files-recognised',
    name: 'stray-table',
    verdict: 'warn',
    plant(draft) {
      draft.extra.push({
        file: 'stock.csv',
        text: 'Shelf,Item,Count\r\nA1,Masking tape,12\r\nA2,Clips,200\r\nB1,Gloves,40\r\n',
      })
      return ['stock.csv']
    },
  },
  {
    check: 'scan-covers-vehicle',
    name: 'emissions-only',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      scan.modules = [
        {
          name: scan.modules[0]?.name ?? 'Engine Control',
          state: 'answers',
          codes: [{ code: 'P0420', type: null, status: 'Stored', text: 'Catalyst efficiency below threshold' }],
        },
      ]
      scan.statedModules = 1
      scan.statedCodes = 1
      return [scan.file]
    },
  },
  {
    check: 'scan-covers-vehicle',
    name: 'both-emissions-only',
    verdict: 'fail',
    plant(draft) {
      const scans = [scanOf(draft, 'before'), scanOf(draft, 'after')]
      for (const scan of scans) {
        if (!scan) return null
        scan.modules = scan.modules.slice(0, 1).map((module) => ({
          ...module,
          codes: [{ code: 'P0171', type: null, status: 'Stored', text: 'System too lean' }],
        }))
        scan.statedModules = 1
        scan.statedCodes = 1
      }
      return scans.flatMap((scan) => scan?.file ?? [])
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

/** No sheet and no declaration names who looked over the work. */
function forgetReviewer(draft: Draft): string[] {
  for (const note of notesOf(draft)) note.fields = note.fields.filter(([label]) => !/reviewed|released/i.test(label))
  if (draft.declared) draft.declared.people = draft.declared.people.filter(({ role }) => role !== 'reviewer')
  return []
}

function forgetPeople({ declared }: Draft): void {
  if (declared) declared.people = declared.people.filter(({ role }) => role !== 'technician')
}

/** Leaves a page out of a record; a list of controllers that goes on for pages is not rare. */
function tearPage(draft: Draft, page: number): string[] | null {
  const scan = scanOf(draft, 'before')
  const after = scanOf(draft, 'after')
  if (scan?.format !== 'pdf' || !after) return null
  for (const paper of [scan, after])
    for (let number = 1; paper.modules.length < 48; number++)
      paper.modules.push({ name: `Door Module ${number}`, state: 'answers', codes: [] })
  for (const paper of [scan, after]) paper.statedModules = paper.modules.length
  scan.missingPage = page
  return [scan.file]
}
