/** Defects of the files themselves: edited, copied, made by another hand, or no originals. */

import type { Chance } from '../chance.ts'
import type { AnyPaper, Draft, PhotoPaper } from '../draft.ts'
import { calibrationsOf, type Defect, drivesOf, entriesOf, movePaper, removePapers, scanOf } from './defect.ts'

function pdfRecord(draft: Draft, chance: Chance): AnyPaper | null {
  const pdfs = [scanOf(draft, 'after'), ...calibrationsOf(draft)].filter(
    (paper) => paper !== null && paper.format === 'pdf',
  )
  return pdfs.length === 0 ? null : chance.pick(pdfs)
}

const photoOf = (draft: Draft): PhotoPaper | null =>
  draft.papers.find((paper): paper is PhotoPaper => paper.kind === 'photo') ?? null

const damagePdf =
  (how: Draft['damage'][number]['how']) =>
  (draft: Draft, chance: Chance): string[] | null => {
    const paper = pdfRecord(draft, chance)
    if (!paper) return null
    draft.damage.push({ file: paper.file, how })
    return [paper.file]
  }

/** On the record after repair, if its VIN is printed. */
const damageVin =
  (how: Draft['damage'][number]['how']) =>
  (draft: Draft): string[] | null => {
    const scan = scanOf(draft, 'after')
    if (scan?.format !== 'pdf' || scan.head.vin?.length !== 17) return null
    draft.damage.push({ file: scan.file, how })
    return [scan.file]
  }

export const documentsDefects: Defect[] = [
  {
    check: 'pdf-not-edited',
    name: 'outcome-revised',
    verdict: 'fail',
    plant(draft) {
      const found = entriesOf(draft).find(({ paper }) => paper.format === 'pdf')
      if (!found) return null
      const { paper, entry } = found
      const revised = structuredClone(paper)
      draft.damage.push({ file: paper.file, how: 'revise', instead: revised })
      entry.outcome = 'Failed'
      return [paper.file]
    },
  },
  {
    check: 'pdf-not-edited',
    name: 'vin-revised',
    verdict: 'fail',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (scan?.format !== 'pdf' || scan.head.vin === null) return null
      draft.damage.push({ file: scan.file, how: 'revise', instead: structuredClone(scan) })
      scan.head.vin = `7XZTK4LA9PB${scan.head.vin.slice(11)}`
      return [scan.file]
    },
  },
  {
    check: 'pdf-signature-holds',
    name: 'outcome-revised-after-signing',
    verdict: 'fail',
    plant(draft) {
      const found = entriesOf(draft).find(({ paper }) => paper.format === 'pdf')
      if (!found) return null
      const { paper, entry } = found
      draft.damage.push({ file: paper.file, how: 'sign-revise', instead: structuredClone(paper) })
      entry.outcome = 'Failed'
      return [paper.file]
    },
  },
  { check: 'pdf-signature-holds', name: 'note-over-signed-words', verdict: 'fail', plant: damagePdf('sign-note') },
  { check: 'pdf-signature-holds', name: 'altered-within', verdict: 'fail', plant: damagePdf('sign-alter') },
  { check: 'pdf-not-edited', name: 'saved-again', verdict: 'warn', plant: damagePdf('resaved') },
  { check: 'no-active-content', name: 'script', verdict: 'warn', plant: damagePdf('script') },
  { check: 'text-matches-picture', name: 'hidden-words', verdict: 'warn', plant: damagePdf('hidden') },
  { check: 'text-matches-picture', name: 'vin-painted-over', verdict: 'warn', plant: damageVin('painted') },
  { check: 'pdf-not-edited', name: 'digit-in-other-letters', verdict: 'warn', plant: damageVin('patched') },
  {
    check: 'pdf-one-producer',
    name: 'post-scan-of-another',
    verdict: 'warn',
    plant(draft) {
      const scan = scanOf(draft, 'after')
      if (scan?.format !== 'pdf' || !scan.head.instrument) return null
      scan.head.instrument = { ...scan.head.instrument, creator: 'Blotter Writer' }
      return [scan.file]
    },
  },
  {
    check: 'photo-original',
    name: 'editor',
    verdict: 'warn',
    plant(draft) {
      const photo = photoOf(draft)
      if (!photo) return null
      draft.damage.push({ file: photo.file, how: 'edited' })
      return [photo.file]
    },
  },
  {
    check: 'photo-original',
    name: 'no-camera',
    verdict: 'warn',
    plant(draft) {
      const photo = photoOf(draft)
      if (!photo) return null
      photo.taken = null
      return [photo.file]
    },
  },
  {
    check: 'clock-plausible',
    name: 'unset',
    verdict: 'warn',
    plant(draft) {
      const scan = scanOf(draft, 'before')
      if (!scan) return null
      movePaper(scan, Date.parse('2000-01-01T14:12:00Z') / 1000 - scan.at)
      return [scan.file]
    },
  },
  {
    check: 'clock-plausible',
    name: 'unset-camera',
    verdict: 'warn',
    plant(draft) {
      const photo = photoOf(draft)
      if (!photo) return null
      movePaper(photo, Date.parse('1980-01-01T15:00:00Z') / 1000 - photo.made)
      return [photo.file]
    },
  },
  {
    check: 'clock-plausible',
    name: 'rolled-over',
    verdict: 'warn',
    plant(draft) {
      const [log] = drivesOf(draft)
      if (!log) return null
      movePaper(log, -1024 * 7 * 86_400)
      return [log.file]
    },
  },
  {
    check: 'photos-distinct',
    name: 'same-bytes',
    verdict: 'warn',
    plant(draft) {
      const photo = photoOf(draft)
      if (!photo) return null
      draft.damage.push({ file: photo.file, how: 'copy', as: 'IMG_9321.jpg' })
      return [photo.file, 'IMG_9321.jpg']
    },
  },
  {
    check: 'photos-distinct',
    name: 'saved-again',
    verdict: 'warn',
    plant(draft) {
      const photo = photoOf(draft)
      if (!photo) return null
      draft.papers.push({ ...structuredClone(photo), file: 'IMG_9322.jpg', quality: 50 })
      return [photo.file, 'IMG_9322.jpg']
    },
  },
  {
    check: 'scan-not-reused',
    name: 'same-file',
    verdict: 'fail',
    plant(draft) {
      const [before, after] = [scanOf(draft, 'before'), scanOf(draft, 'after')]
      if (!before || !after) return null
      removePapers(draft, [after])
      draft.damage.push({ file: before.file, how: 'copy', as: after.file })
      return [before.file, after.file]
    },
  },
  {
    check: 'scan-not-reused',
    name: 'only-date-differs',
    verdict: 'warn',
    plant(draft) {
      const [before, after] = [scanOf(draft, 'before'), scanOf(draft, 'after')]
      if (!before || !after || before.modules.every(({ codes }) => codes.length === 0)) return null
      Object.assign(after, {
        modules: structuredClone(before.modules),
        volts: before.volts,
        support: before.support,
        statedCodes: before.statedCodes,
        statedModules: before.statedModules,
      })
      after.head.miles = before.head.miles
      return [before.file, after.file]
    },
  },
  { check: 'originals-not-copies', name: 'picture-of-a-page', verdict: 'warn', plant: damagePdf('picture') },
]
