/** Defects of identity: numbers of the vehicle and of the job. */
import { completeVin } from '../../../../examples/shop.ts'
import type { Chance } from '../chance.ts'
import type { AnyPaper, Draft } from '../draft.ts'
import { billOf, type Defect, drivesOf, photosOf, pickRecord, recordsOf, scanOf, swapNeighbours } from './defect.ts'

/** Changes the VIN of one record. */
function inRecord(change: (vin: string, chance: Chance) => string | null) {
  return (draft: Draft, chance: Chance): string[] | null => {
    const paper: AnyPaper = chance.pick(recordsOf(draft))
    const vin = paper.head.vin === null ? null : change(paper.head.vin, chance)
    if (vin === null) return null
    paper.head.vin = vin
    return [paper.file]
  }
}

/** Signs that are taken for one another by eye, both of which a VIN may hold. */
const alike: Record<string, string> = {
  8: 'B',
  B: '8',
  5: 'S',
  S: '5',
  2: 'Z',
  Z: '2',
  0: 'D',
  D: '0',
  1: 'L',
  L: '1',
  6: 'G',
  G: '6',
}

function replaceOne(vin: string, chance: Chance, change: (sign: string) => string | undefined): string | null {
  const places = [...vin].flatMap((sign, at) => (at !== 8 && change(sign) !== undefined ? [at] : []))
  if (places.length === 0) return null
  const at = chance.pick(places)
  return vin.slice(0, at) + change(vin[at] ?? '') + vin.slice(at + 1)
}

function everywhere(draft: Draft, vin: string): string[] {
  for (const paper of draft.papers) if (paper.head.vin !== null) paper.head.vin = vin
  for (const photo of photosOf(draft, 'vin')) photo.text = vin
  if (draft.declared) draft.declared.vin = vin
  return draft.papers.map(({ file }) => file)
}

/** Position 10 tells the model year where 49 CFR 565.15 asks for it, which is told from a VIN's first sign. */
const codesYear = ({ vehicle }: Draft): boolean => vehicle.vin.startsWith('7')

const otherVin = (vin: string, chance: Chance): string => completeVin(`${vin.slice(0, 12)}${chance.code('#####')}`)

export const identityDefects: Defect[] = [
  {
    check: 'vin-well-formed',
    name: 'letter-o',
    verdict: 'fail',
    plant: inRecord((vin, chance) => replaceOne(vin, chance, (sign) => (sign === '0' ? 'O' : undefined))),
  },
  {
    check: 'vin-well-formed',
    name: 'sign-missing',
    verdict: 'fail',
    plant: inRecord((vin, chance) => {
      const at = chance.whole(9, 15)
      return vin.slice(0, at) + vin.slice(at + 1)
    }),
  },
  {
    check: 'vin-well-formed',
    name: 'check-digit',
    verdict: 'fail',
    plant(draft, chance) {
      const { vin } = draft.vehicle
      if (!vin.startsWith('7')) return null
      const last = Number(vin[16])
      return everywhere(draft, `${vin.slice(0, 16)}${(last + chance.whole(1, 9)) % 10}`)
    },
  },
  { check: 'vin-agrees', name: 'two-swapped', verdict: 'fail', plant: inRecord(swapNeighbours) },
  {
    check: 'vin-agrees',
    name: 'look-alike',
    verdict: 'fail',
    plant: inRecord((vin, chance) => replaceOne(vin, chance, (sign) => alike[sign])),
  },
  { check: 'vin-agrees', name: 'another-vehicle', verdict: 'fail', plant: inRecord(otherVin) },
  {
    check: 'vin-agrees',
    name: 'invoice-of-another',
    verdict: 'fail',
    plant(draft, chance) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      bill.head.vin = otherVin(draft.vehicle.vin, chance)
      return [bill.file]
    },
  },
  {
    check: 'vin-present',
    name: 'record-without',
    verdict: 'fail',
    plant(draft, chance) {
      const paper = chance.pick(recordsOf(draft))
      paper.head.vin = null
      return [paper.file]
    },
  },
  {
    check: 'vin-present',
    name: 'post-scan-without',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      scan.head.vin = null
      return [scan.file]
    },
  },
  {
    check: 'vin-present',
    name: 'invoice-without',
    verdict: 'warn',
    plant(draft) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      bill.head.vin = null
      return [bill.file]
    },
  },
  {
    check: 'vin-seen-on-vehicle',
    name: 'label-of-another',
    verdict: 'fail',
    plant(draft, chance) {
      const [photo] = photosOf(draft, 'vin')
      if (!photo) return null
      photo.text = otherVin(photo.text, chance)
      return [photo.file]
    },
  },
  {
    check: 'vin-seen-on-vehicle',
    name: 'label-swapped',
    verdict: 'fail',
    plant(draft, chance) {
      const [photo] = photosOf(draft, 'vin')
      const vin = photo ? swapNeighbours(photo.text, chance) : null
      if (!photo || vin === null) return null
      photo.text = vin
      return [photo.file]
    },
  },
  {
    check: 'vehicle-matches-vin',
    name: 'year-everywhere',
    verdict: 'fail',
    plant(draft) {
      if (!codesYear(draft)) return null
      for (const paper of draft.papers) paper.head.year -= 4
      return draft.papers.map(({ file }) => file)
    },
  },
  {
    check: 'vehicle-matches-vin',
    name: 'year-on-record',
    verdict: 'fail',
    plant(draft, chance) {
      const paper = chance.pick(recordsOf(draft))
      if (!codesYear(draft)) return null
      paper.head.year -= 3
      return [paper.file]
    },
  },
  {
    check: 'vehicle-matches-vin',
    name: 'model-differs',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = chance.pick(recordsOf(draft))
      paper.head.model = 'Ravelin'
      return [paper.file]
    },
  },
  {
    check: 'vehicle-matches-vin',
    name: 'make-differs',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = chance.pick(recordsOf(draft))
      paper.head.make = 'Sundry'
      paper.head.model = 'Quern'
      return [paper.file]
    },
  },
  {
    check: 'plate-agrees',
    name: 'two-swapped',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = chance.pick(recordsOf(draft))
      const plate = swapNeighbours(draft.vehicle.plate, chance)
      if (plate === null) return null
      paper.head.plate = plate
      return [paper.file]
    },
  },
  {
    check: 'plate-agrees',
    name: 'another',
    verdict: 'warn',
    plant(draft, chance) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      bill.head.plate = chance.code('##-@@##')
      return [bill.file]
    },
  },
  {
    check: 'job-number-agrees',
    name: 'record-of-another',
    verdict: 'warn',
    plant(draft, chance) {
      const paper = chance.pick(recordsOf(draft))
      paper.head.job = chance.code('26-####')
      return [paper.file]
    },
  },
  {
    check: 'job-number-agrees',
    name: 'invoice-of-another',
    verdict: 'fail',
    plant(draft, chance) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      bill.head.job = chance.code('26-####')
      return [bill.file]
    },
  },
  {
    check: 'job-number-agrees',
    name: 'claim-of-another',
    verdict: 'fail',
    plant(draft, chance) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      bill.head.claim = chance.code('@@-###-#####')
      return [bill.file]
    },
  },
  {
    check: 'job-number-agrees',
    name: 'invoice-without',
    verdict: 'warn',
    plant(draft) {
      const bill = billOf(draft, 'invoice')
      if (!bill) return null
      bill.head.job = null
      // The file's own name would tie it to the job.
      bill.file = `invoice.${bill.format}`
      return [bill.file]
    },
  },
  {
    check: 'odometer-runs-forward',
    name: 'backwards',
    verdict: 'fail',
    plant(draft, chance) {
      const scan = scanOf(draft, 'after')
      if (!scan) return null
      scan.head.miles = (scan.head.miles ?? 0) - chance.whole(120, 900)
      return [scan.file]
    },
  },
  {
    check: 'odometer-runs-forward',
    name: 'record-backwards',
    verdict: 'fail',
    plant(draft, chance) {
      const paper = pickRecord(draft, chance)
      if (!paper) return null
      paper.head.miles = (paper.head.miles ?? 0) - chance.whole(60, 400)
      return [paper.file]
    },
  },
  {
    check: 'odometer-runs-forward',
    name: 'jump',
    verdict: 'warn',
    plant(draft, chance) {
      const scan = scanOf(draft, 'after')
      const bill = billOf(draft, 'invoice')
      if (!scan || !bill) return null
      const more = chance.whole(180, 700)
      for (const paper of [scan, bill]) paper.head.miles = (paper.head.miles ?? 0) + more
      return [scan.file]
    },
  },
  {
    check: 'odometer-matches-drive',
    name: 'half-of-the-drive',
    verdict: 'fail',
    plant(draft) {
      const [log, ...others] = drivesOf(draft)
      const before = scanOf(draft, 'before')?.head.miles ?? null
      if (!log || others.length > 0 || before === null) return null
      const papers = draft.papers.filter(({ head, made }) => head.miles !== null && made >= log.start)
      const driven = Math.min(...papers.map(({ head }) => head.miles ?? 0)) - before
      if (driven < 10) return null
      for (const paper of papers) paper.head.miles = (paper.head.miles ?? 0) - Math.round(driven * 0.6)
      return papers.map(({ file }) => file)
    },
  },
  {
    check: 'odometer-matches-drive',
    name: 'not-moved',
    verdict: 'fail',
    plant(draft) {
      const [log, ...others] = drivesOf(draft)
      const before = scanOf(draft, 'before')?.head.miles
      if (!log || others.length > 0 || before === undefined || before === null) return null
      const papers = draft.papers.filter(({ head, made }) => head.miles !== null && made >= log.start)
      for (const paper of papers) paper.head.miles = before
      return papers.map(({ file }) => file)
    },
  },
]
