/** Defects of completion: calibrations that did not come to their end, or whose values do not hold. */

import type { Chance } from '../chance.ts'
import type { CalibrationEntry, Draft } from '../draft.ts'
import { type Defect, entriesOf, isAlone, isDynamic, pickEntry, type Recorded } from './defect.ts'

const inEntry =
  (
    change: (entry: CalibrationEntry, chance: Chance, draft: Draft) => unknown,
    fits: (found: Recorded) => boolean = () => true,
  ) =>
  (draft: Draft, chance: Chance): string[] | null => {
    const found = pickEntry(draft, chance, (one) => isAlone(one) && fits(one))
    if (!found || change(found.entry, chance, draft) === false) return null
    return [found.paper.file]
  }

/**
 * A second paper on a calibration whose first run failed, which tells of fewer runs. A failed run that one file lists and no
 * other mentions contradicts nothing: most papers give the result alone.
 */
const copyRecord =
  (change: (copy: Recorded) => void) =>
  (draft: Draft, chance: Chance): string[] | null => {
    const found = pickEntry(draft, chance, (one) => isAlone(one) && isDynamic(one))
    if (!found?.entry.started || !found.entry.ended) return null
    const { started, ended } = found.entry
    found.entry.attempts = [
      { at: started - 600, outcome: 'Failed', progress: chance.whole(20, 80) },
      { at: ended, outcome: 'Completed', progress: 100 },
    ]
    const copy = structuredClone(found.paper)
    const [entry] = copy.entries
    if (entry === undefined) return null
    copy.file = `customer copy ${copy.file}`
    copy.made += 600
    change({ paper: copy, entry })
    draft.papers.push(copy)
    return [copy.file]
  }

const outcome = (text: string | null) =>
  inEntry((entry) => {
    entry.outcome = text
    entry.attempts = []
  })
const hasValues = ({ entry }: Recorded): boolean => entry.values.length > 0

export const completionDefects: Defect[] = [
  ...(['Failed', 'Aborted', 'Timed out', 'Not learned'] as const).map(
    (text): Defect => ({
      check: 'calibration-completed',
      name: text.toLowerCase().replace(' ', '-'),
      verdict: 'fail',
      plant: outcome(text),
    }),
  ),
  {
    check: 'calibration-completed',
    name: 'not-stated',
    verdict: 'warn',
    plant: inEntry((entry) => {
      entry.outcome = null
      entry.progress = null
      entry.attempts = []
      entry.steps = []
    }),
  },
  {
    check: 'calibration-reached-full',
    name: 'below-full',
    verdict: 'fail',
    plant: inEntry((entry, chance) => {
      entry.progress = chance.whole(55, 97)
      entry.steps = []
      entry.attempts = []
    }, isDynamic),
  },
  {
    check: 'calibration-reached-full',
    name: 'stopped-short',
    verdict: 'fail',
    plant: inEntry((entry) => {
      entry.progress = 62
      entry.outcome = 'Aborted'
      entry.steps = []
      entry.attempts = []
    }, isDynamic),
  },
  {
    check: 'calibration-reached-full',
    name: 'not-stated',
    verdict: 'warn',
    plant: inEntry((entry) => {
      entry.progress = null
      entry.steps = []
      entry.attempts = []
    }, isDynamic),
  },
  {
    check: 'progress-consistent',
    name: 'completed-at-94',
    verdict: 'fail',
    plant: inEntry((entry) => {
      entry.progress = 94
      entry.outcome = 'Completed'
      entry.steps = []
      entry.attempts = []
    }, isDynamic),
  },
  {
    check: 'progress-consistent',
    name: 'falls',
    verdict: 'fail',
    plant: inEntry(
      (entry) => {
        const { steps } = entry
        const middle = steps[Math.floor(steps.length / 2)]
        const after = steps[Math.floor(steps.length / 2) + 1]
        if (!middle || !after) return false
        middle[1] = 78
        after[1] = 41
        return true
      },
      (one) => isDynamic(one) && one.entry.steps.length > 5,
    ),
  },
  {
    check: 'progress-consistent',
    name: 'stalls',
    verdict: 'warn',
    plant: inEntry(
      (entry) => {
        const first = entry.steps[1]
        const last = entry.steps.at(-1)
        if (!first || !last) return false
        const [until] = last
        entry.steps = [
          [0, 0],
          [Math.round(until * 0.1), 30],
          [Math.round(until * 0.5), 30],
          [Math.round(until * 0.85), 30],
          [until, 100],
        ]
        return true
      },
      (one) => isDynamic(one) && one.entry.steps.length > 4,
    ),
  },
  {
    check: 'attempts-disclosed',
    name: 'copy-lists-the-last',
    verdict: 'warn',
    plant: copyRecord(({ entry }) => {
      entry.attempts = entry.attempts.slice(-1)
    }),
  },
  {
    check: 'attempts-disclosed',
    name: 'copy-says-the-first',
    verdict: 'warn',
    plant: copyRecord(({ paper, entry }) => {
      entry.attempts = []
      paper.notes.push('Completed at the first attempt.')
    }),
  },
  {
    check: 'values-within-limits',
    name: 'out-of-limits',
    verdict: 'fail',
    plant: inEntry((entry, chance) => {
      const value = chance.pick(entry.values)
      value.value = Math.round((value.most + (value.most - value.least) * 0.2) * 100) / 100
      value.verdict = null
    }, hasValues),
  },
  {
    check: 'values-within-limits',
    name: 'said-to-be-ok',
    verdict: 'fail',
    plant: inEntry((entry, chance) => {
      const value = chance.pick(entry.values)
      value.value = Math.round((value.least - (value.most - value.least) * 0.3) * 100) / 100
    }, hasValues),
  },
  {
    check: 'values-within-limits',
    name: 'near-the-limit',
    verdict: 'warn',
    plant: inEntry((entry, chance) => {
      const value = chance.pick(entry.values.slice(0, 1))
      value.value = Math.round((value.most - (value.most - value.least) * 0.005) * 100) / 100
    }, hasValues),
  },
  {
    check: 'calibrated-sensor-is-the-one',
    name: 'other-sensor',
    verdict: 'warn',
    plant: inEntry(
      (entry) => {
        Object.assign(entry, { sensor: 'surround-camera', name: 'Surround camera' })
      },
      ({ entry }) => entry.sensor === 'rear-camera' || entry.sensor === 'front-camera',
    ),
  },
  {
    check: 'calibrated-sensor-is-the-one',
    name: 'other-side',
    verdict: 'warn',
    plant: inEntry(
      (entry) => {
        entry.position = 'left'
        entry.name = 'Left corner radar'
      },
      ({ entry }) => entry.position === 'right',
    ),
  },
  {
    check: 'sensor-angle-set',
    name: 'out-before-drive',
    verdict: 'fail',
    plant: inEntry((entry) => {
      const angle = entry.values.find(({ name }) => /before drive/.test(name))
      if (!angle) return false
      angle.value = angle.most + 1.4
      angle.verdict = null
      return true
    }),
  },
  {
    check: 'sensor-angle-set',
    name: 'not-stated',
    verdict: 'warn',
    desk: 'delivery',
    plant: (draft) => {
      const radars = entriesOf(draft).filter(({ entry }) => entry.sensor === 'front-radar')
      if (!radars.some(({ entry }) => entry.replaced)) return null
      for (const { entry } of radars) entry.values = entry.values.filter(({ name }) => !/angle/i.test(name))
      return []
    },
  },
]
