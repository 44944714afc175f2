/** Defects of billing and of safety. */
import type { BillLine, Draft } from '../draft.ts'
import {
  alignmentOf,
  billOf,
  type Defect,
  driveOf,
  entriesOf,
  isDynamic,
  photosOf,
  removePapers,
  scanOf,
} from './defect.ts'

const day = 86_400

function withoutCalibrations(draft: Draft): string[] | null {
  const bill = billOf(draft, 'invoice')
  const found = entriesOf(draft)[0]
  if (!bill || !found) return null
  const log = isDynamic(found) ? driveOf(draft, found) : null
  if (found.paper.entries.length > 1) found.paper.entries = found.paper.entries.filter((entry) => entry !== found.entry)
  else removePapers(draft, [found.paper])
  removePapers(draft, [...(log ? [log] : []), ...photosOf(draft, 'targets')])
  return [bill.file]
}

const isCharged = (method: string | undefined): boolean => method === 'static' || method === 'dynamic'

const isOnlyOf = (lines: readonly BillLine[], calibration: BillLine['calibration']): boolean =>
  lines.filter((line) => line.calibration?.sensor === calibration?.sensor).length === 1

export const billingDefects: Defect[] = [
  { check: 'billed-is-evidenced', name: 'calibration', verdict: 'fail', plant: withoutCalibrations },
  {
    check: 'billed-is-evidenced',
    name: 'alignment',
    verdict: 'fail',
    plant: (draft) => {
      const [alignment, bill] = [alignmentOf(draft), billOf(draft, 'invoice')]
      if (!alignment || !bill) return null
      removePapers(draft, [alignment])
      return [bill.file]
    },
  },
  {
    check: 'billed-is-evidenced',
    name: 'scan',
    verdict: 'fail',
    plant: (draft) => {
      const [scan, bill] = [scanOf(draft, 'before'), billOf(draft, 'invoice')]
      if (!scan || !bill) return null
      removePapers(draft, [scan])
      return [bill.file]
    },
  },
  {
    check: 'evidenced-is-billed',
    name: 'calibration',
    verdict: 'warn',
    plant: (draft) => {
      const bill = billOf(draft, 'invoice')
      // A setting without targets or road is usually part of other work, and on no line of its own.
      const charged = bill?.lines.filter(({ calibration }) => isCharged(calibration?.method)) ?? []
      const line = charged.find(({ calibration }) => isOnlyOf(charged, calibration))
      if (!bill || !line || billOf(draft, 'sublet')) return null
      bill.lines = bill.lines.filter((one) => one !== line)
      return [bill.file, ...entriesOf(draft).map(({ paper }) => paper.file)]
    },
  },
  {
    check: 'evidenced-is-billed',
    name: 'all-calibrations',
    verdict: 'warn',
    plant: (draft) => {
      const bill = billOf(draft, 'invoice')
      const charged = bill?.lines.some(({ calibration }) => isCharged(calibration?.method))
      if (!bill || !charged || billOf(draft, 'sublet')) return null
      bill.lines = bill.lines.filter(({ of }) => of !== 'calibration')
      return [bill.file, ...entriesOf(draft).map(({ paper }) => paper.file)]
    },
  },
  {
    check: 'billed-once',
    name: 'two-lines',
    verdict: 'warn',
    plant: (draft) => {
      const bill = billOf(draft, 'invoice')
      // Of other sensors a vehicle has several, and a line for each of them is honest.
      const line = bill?.lines.find(({ calibration }) =>
        ['front-radar', 'front-camera', 'rear-camera', 'steering-angle'].includes(calibration?.sensor ?? ''),
      )
      if (!bill || !line) return null
      bill.lines.splice(-1, 0, { ...line })
      return [bill.file]
    },
  },
  {
    check: 'billed-once',
    name: 'again-in-other-words',
    verdict: 'warn',
    plant: (draft) => {
      const bill = billOf(draft, 'invoice')
      const line = bill?.lines.find(
        ({ of, calibration }) => of === 'calibration' && calibration?.sensor === 'front-radar',
      )
      if (!bill || !line?.calibration) return null
      bill.lines.push({ ...line, text: `Calibrate front radar (${line.calibration.method})`, amount: line.amount + 15 })
      return [bill.file]
    },
  },
  {
    check: 'sublet-agrees',
    name: 'another-vehicle',
    verdict: 'warn',
    plant: (draft, chance) => {
      const bill = billOf(draft, 'sublet')
      if (!bill) return null
      bill.head.vin = `7XZTK4LA9PB${chance.code('######')}`
      return [bill.file]
    },
  },
  {
    check: 'sublet-agrees',
    name: 'months-before',
    verdict: 'warn',
    plant: (draft) => {
      const bill = billOf(draft, 'sublet')
      if (!bill) return null
      bill.at -= 60 * day
      bill.made -= 60 * day
      return [bill.file]
    },
  },
  {
    check: 'second-person-on-drive',
    name: 'nobody',
    verdict: 'warn',
    desk: 'delivery',
    plant: (draft) => dropObserver(draft, null),
  },
  {
    check: 'second-person-on-drive',
    name: 'nobody-named-on-the-drive',
    verdict: 'warn',
    desk: 'delivery',
    plant: (draft) => {
      const files = dropObserver(draft, null)
      for (const { entry } of entriesOf(draft)) entry.driver = null
      return files
    },
  },
  {
    check: 'second-person-on-drive',
    name: 'driver-watches',
    verdict: 'warn',
    plant: (draft) => dropObserver(draft, 'driver'),
  },
]

function dropObserver(draft: Draft, who: 'driver' | null): string[] | null {
  const driven = entriesOf(draft).filter(isDynamic)
  if (driven.length === 0) return null
  for (const { entry } of driven) entry.observer = who === 'driver' ? entry.driver : null
  if (draft.declared) draft.declared.people = draft.declared.people.filter(({ role }) => role !== 'observer')
  return driven.map(({ paper }) => paper.file)
}
