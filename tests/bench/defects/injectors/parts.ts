/** Defects of identity: numbers of sensors, of their parts and of instruments. */
import { billOf, type Defect, entriesOf, photosOf, pickEntry, scanOf, swapNeighbours } from './defect.ts'

export const partsDefects: Defect[] = [
  {
    check: 'sensor-serial-agrees',
    name: 'records-differ',
    verdict: 'fail',
    plant(draft, chance) {
      const entries = entriesOf(draft).filter(({ entry }) => entry.serial !== null)
      const [first, second] = entries
      if (
        !first ||
        !second ||
        first.entry.sensor !== second.entry.sensor ||
        first.entry.position !== second.entry.position
      )
        return null
      const serial = swapNeighbours(second.entry.serial ?? '', chance)
      if (serial === null) return null
      second.entry.serial = serial
      return [second.paper.file]
    },
  },
  {
    check: 'sensor-serial-agrees',
    name: 'label-differs',
    verdict: 'fail',
    plant(draft, chance) {
      const photos = photosOf(draft, 'label')
      const [photo] = photos
      const serial = photo ? swapNeighbours(photo.text, chance) : null
      if (!photo || photos.length > 1 || serial === null) return null
      photo.text = serial
      return [photo.file]
    },
  },
  {
    check: 'sensor-serial-agrees',
    name: 'none-recorded',
    verdict: 'warn',
    plant(draft) {
      const entries = entriesOf(draft).filter(({ entry }) => entry.serial !== null)
      if (entries.length === 0) return null
      for (const { entry } of entries) entry.serial = null
      draft.papers = draft.papers.filter((paper) => paper.kind !== 'photo' || paper.of !== 'label')
      return []
    },
  },
  {
    check: 'sensor-part-agrees',
    name: 'record-differs',
    verdict: 'fail',
    plant(draft, chance) {
      // A number that stands in one file alone contradicts nothing: bills do not name the parts of every sensor.
      const lines = draft.papers.flatMap((paper) => (paper.kind === 'bill' ? paper.lines : []))
      const isBilled = (part: string) => lines.some(({ text }) => text.includes(part))
      const found = pickEntry(draft, chance, ({ entry }) => entry.part !== null && isBilled(entry.part))
      if (!found) return null
      for (const { entry } of entriesOf(draft))
        if (entry.part === found.entry.part && entry !== found.entry) return null
      found.entry.part = chance.code('@@-####-@#')
      return [found.paper.file]
    },
  },
  {
    check: 'sensor-part-agrees',
    name: 'invoice-differs',
    verdict: 'fail',
    plant(draft, chance) {
      const bill = billOf(draft, 'invoice')
      const line = bill?.lines.find(({ text }) => /part no\. /.test(text))
      if (!bill || !line) return null
      line.text = line.text.replace(/part no\. \S+/, `part no. ${chance.code('@@-####-@#')}`)
      return [bill.file]
    },
  },
  {
    check: 'equipment-agrees',
    name: 'serial-differs',
    verdict: 'warn',
    plant(draft, chance) {
      const scan = scanOf(draft, 'after')
      if (!scan?.head.instrument) return null
      scan.head.instrument = { ...scan.head.instrument, serial: chance.code('@@-#####') }
      return [scan.file]
    },
  },
  {
    check: 'equipment-agrees',
    name: 'software-differs',
    verdict: 'warn',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (!scan?.head.instrument) return null
      scan.head.instrument = { ...scan.head.instrument, software: '1.0.3' }
      return [scan.file]
    },
  },
]
