/** Defects of preconditions: the vehicle was not fit to be calibrated, or nothing says that it was. */

import type { Chance } from '../chance.ts'
import type { Draft } from '../draft.ts'
import { pressureText } from '../record.ts'
import { alignmentOf, type Defect, entriesOf, isAlone, isStatic, pickEntry, pickRecord, scanOf } from './defect.ts'

const volts =
  (value: number, what: 'calibration' | 'scan') =>
  (draft: Draft, chance: Chance): string[] | null => {
    const paper = what === 'scan' ? scanOf(draft, 'after') : pickRecord(draft, chance)
    if (!paper) return null
    paper.volts = value
    return [paper.file]
  }

const pressures = /pressures$/

function setPressure(share: number) {
  return (draft: Draft, chance: Chance): string[] | null => {
    // The aim of a seat's or a bumper's sensors does not depend on how the vehicle stands: nobody asks for pressures there.
    if (!entriesOf(draft).some(({ entry }) => /radar|camera/.test(entry.sensor))) return null
    const found = pickEntry(draft, chance, ({ entry }) =>
      entry.preparation.some(([label]) => /^t[iy]re pressures/i.test(label)),
    )
    const line = found?.entry.preparation.find(([label]) => /^t[iy]re pressures/i.test(label))
    if (!found || !line) return null
    const say = (kpa: number) => pressureText(kpa * share, draft.shop.pressure)
    line[1] = `front ${say(draft.vehicle.frontKpa)}, rear ${say(draft.vehicle.rearKpa)}`
    return [found.paper.file]
  }
}

function dropLines(form: RegExp, fits: (draft: Draft) => boolean = () => true) {
  return (draft: Draft): string[] | null => {
    if (!fits(draft)) return null
    let dropped = 0
    for (const { entry } of entriesOf(draft)) {
      const before = entry.preparation.length
      entry.preparation = entry.preparation.filter(([label]) => !form.test(label))
      dropped += before - entry.preparation.length
    }
    return dropped === 0 ? null : []
  }
}

/** Is something set up before targets? */
const isAimed = (draft: Draft): boolean =>
  entriesOf(draft).some((one) => isStatic(one) && /radar|camera/.test(one.entry.sensor))

const loads = /fuel|cargo|ride height/i
const floor = /floor|target (?:distance|height)/i

/** No record of a static calibration keeps such values. */
const dropValues =
  (form: RegExp) =>
  (draft: Draft): string[] | null => {
    const found = entriesOf(draft).filter(
      (one) => isStatic(one) && one.entry.values.some(({ name }) => form.test(name)),
    )
    for (const { entry } of found) entry.values = entry.values.filter(({ name }) => !form.test(name))
    return found.length === 0 ? null : []
  }

export const preconditionsDefects: Defect[] = [
  { check: 'battery-supported', name: 'eleven-volts', verdict: 'fail', plant: volts(11.2, 'calibration') },
  { check: 'battery-supported', name: 'eleven-volts-at-scan', verdict: 'fail', plant: volts(10.9, 'scan') },
  { check: 'battery-supported', name: 'weak', verdict: 'warn', plant: volts(11.9, 'calibration') },
  { check: 'tire-pressure-recorded', name: 'far-off', verdict: 'fail', plant: setPressure(0.62) },
  { check: 'tire-pressure-recorded', name: 'off', verdict: 'warn', plant: setPressure(0.84) },
  {
    check: 'tire-pressure-recorded',
    name: 'not-recorded',
    verdict: 'warn',
    desk: 'delivery',
    plant: dropLines(pressures, (draft) => entriesOf(draft).some(({ entry }) => /radar|camera/.test(entry.sensor))),
  },
  { check: 'load-recorded', name: 'nothing', verdict: 'warn', desk: 'delivery', plant: dropLines(loads, isAimed) },
  {
    check: 'load-recorded',
    name: 'no-conditions-at-all',
    verdict: 'warn',
    desk: 'delivery',
    plant: dropLines(/./, isAimed),
  },
  {
    check: 'steering-angle-zeroed',
    name: 'not-recorded',
    verdict: 'warn',
    plant: (draft) => {
      const found = entriesOf(draft).find(({ entry }) => entry.sensor === 'steering-angle')
      if (!found || !isAlone(found) || !alignmentOf(draft)) return null
      draft.papers = draft.papers.filter((paper) => paper !== found.paper)
      return []
    },
  },
  {
    check: 'steering-angle-zeroed',
    name: 'out-of-limits',
    verdict: 'fail',
    plant: (draft) => {
      const found = entriesOf(draft).find(({ entry }) => entry.sensor === 'steering-angle')
      const value = found?.entry.values[0]
      if (!found || !value) return null
      value.value = 6.4
      value.verdict = null
      return [found.paper.file]
    },
  },
  {
    check: 'floor-and-targets-measured',
    name: 'floor-out',
    verdict: 'fail',
    plant: (draft, chance) => {
      const found = pickEntry(draft, chance, isStatic)
      const value = found?.entry.values.find(({ name }) => /floor/i.test(name))
      if (!found || !value) return null
      value.value = 11.6
      value.verdict = null
      return [found.paper.file]
    },
  },
  {
    check: 'floor-and-targets-measured',
    name: 'distance-out',
    verdict: 'fail',
    plant: (draft, chance) => {
      const found = pickEntry(draft, chance, isStatic)
      const value = found?.entry.values.find(({ name }) => /target distance/i.test(name))
      if (!found || !value) return null
      value.value = 1538
      value.verdict = null
      return [found.paper.file]
    },
  },
  {
    check: 'floor-and-targets-measured',
    name: 'not-recorded',
    verdict: 'warn',
    desk: 'delivery',
    plant: dropValues(floor),
  },
  {
    check: 'floor-and-targets-measured',
    name: 'targets-not-recorded',
    verdict: 'warn',
    desk: 'delivery',
    plant: dropValues(/target (?:distance|height)/i),
  },
]
