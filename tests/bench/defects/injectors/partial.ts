/** Defects of completeness: files that hold a part of what they should, or nothing that can be read. */
import type { Draft } from '../draft.ts'
import { type Defect, entriesOf, recordsOf, scanOf } from './defect.ts'

export const partialDefects: Defect[] = [
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
]

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
