/** Defects of the scans: codes and modules that a vehicle must not be released with, or that contradict one another. */
import type { Code, Draft, ScannedModule, ScanPaper } from '../draft.ts'
import { billOf, type Defect, entriesOf, notesOf, scanOf } from './defect.ts'

const assistance = /radar|camera/i
const brake = /brake/i
const other = /engine|powertrain|body|climate|air cond|telematics|keyless/i

function addCode(when: 'before' | 'after', module: RegExp, code: Code, fits: (draft: Draft) => boolean = () => true) {
  return (draft: Draft): string[] | null => {
    const scan = scanOf(draft, when)
    const found = scan?.modules.find(({ name, codes }) => module.test(name) && codes.length === 0)
    if (!scan || !found || !fits(draft)) return null
    found.codes = [code]
    if (scan.statedCodes !== null) scan.statedCodes++
    return [scan.file]
  }
}

const inBoth =
  (module: RegExp, before: Code, after: Code) =>
  (draft: Draft): string[] | null => {
    const places = [addCode('before', module, before)(draft), addCode('after', module, after)(draft)]
    return places.includes(null) ? null : [scanOf(draft, 'after')?.file ?? '']
  }

const changeModule =
  (module: RegExp, change: (found: ScannedModule, scan: ScanPaper) => void) =>
  (draft: Draft): string[] | null => {
    const scan = scanOf(draft, 'after')
    const found = scan?.modules.find(({ name }) => module.test(name))
    if (!scan || !found) return null
    change(found, scan)
    return [scan.file]
  }

const code = (text: string, type: string | null, status: Code['status'], words: string): Code => ({
  code: text,
  type,
  status,
  text: words,
})

export const faultsDefects: Defect[] = [
  {
    check: 'no-faults-left',
    name: 'active-in-radar',
    verdict: 'fail',
    plant: addCode('after', assistance, code('U1428', '13', 'Active', 'Circuit open')),
  },
  {
    check: 'no-faults-left',
    name: 'confirmed-in-brakes',
    verdict: 'fail',
    plant: addCode('after', brake, code('C0035', '12', 'Confirmed', 'Left front wheel speed sensor')),
  },
  {
    check: 'no-faults-left',
    name: 'left-in-both-scans',
    verdict: 'fail',
    plant: inBoth(
      brake,
      code('C0040', '62', 'Active', 'Right front wheel speed signal'),
      code('C0040', '62', 'Active', 'Right front wheel speed signal'),
    ),
  },
  {
    check: 'no-faults-left',
    name: 'elsewhere',
    verdict: 'warn',
    plant: inBoth(
      other,
      code('P0562', '00', 'Active', 'System voltage low'),
      code('P0562', '00', 'Active', 'System voltage low'),
    ),
  },
  {
    check: 'no-calibration-faults-left',
    name: 'type-byte',
    verdict: 'fail',
    plant: addCode('after', assistance, code('C1A67', '54', 'Active', 'Sensor data')),
  },
  {
    check: 'no-calibration-faults-left',
    name: 'wording',
    verdict: 'fail',
    plant: addCode('after', assistance, code('C1B40', null, 'Active', 'Sensor not calibrated')),
  },
  {
    check: 'no-calibration-faults-left',
    name: 'misaligned',
    verdict: 'fail',
    plant: addCode('after', assistance, code('C1B14', '78', 'Confirmed', 'Alignment or adjustment incorrect')),
  },
  {
    check: 'no-pending-faults',
    name: 'pending',
    verdict: 'warn',
    plant: addCode('after', other, code('P0128', null, 'Pending', 'Coolant thermostat')),
  },
  {
    check: 'no-pending-faults',
    name: 'pending-in-camera',
    verdict: 'warn',
    plant: addCode('after', assistance, code('U0415', '81', 'Pending', 'Invalid data received from brake control')),
  },
  {
    check: 'no-new-faults',
    name: 'new-active',
    verdict: 'fail',
    plant: addCode('after', other, code('B1A32', '11', 'Active', 'Circuit short to ground')),
  },
  {
    check: 'no-new-faults',
    name: 'new-stored',
    verdict: 'warn',
    plant: addCode('after', other, code('B1A33', '15', 'Stored', 'Circuit short to battery or open')),
  },
  {
    check: 'faults-retested',
    name: 'not-run-since-clear',
    verdict: 'warn',
    plant: notRetested('Test not completed since last clear'),
  },
  {
    check: 'faults-retested',
    name: 'distance-since-clear',
    verdict: 'warn',
    plant: notRetested('Distance since codes cleared: 0 km'),
  },
  { check: 'prior-faults-explained', name: 'no-word', verdict: 'warn', plant: unexplained },
  {
    check: 'prior-faults-explained',
    name: 'no-sheet',
    verdict: 'warn',
    plant: (draft) => {
      const files = unexplained(draft)
      if (files) draft.papers = draft.papers.filter(({ kind }) => kind !== 'note')
      return files
    },
  },
  {
    check: 'permanent-faults-noted',
    name: 'permanent',
    verdict: 'warn',
    plant: inBoth(
      /engine|powertrain/i,
      code('P0420', null, 'Permanent', 'Catalyst efficiency below threshold'),
      code('P0420', null, 'Permanent', 'Catalyst efficiency below threshold'),
    ),
  },
  {
    check: 'permanent-faults-noted',
    name: 'new-permanent',
    verdict: 'warn',
    plant: addCode('after', /engine|powertrain/i, code('P0171', null, 'Permanent', 'System too lean')),
  },
  {
    check: 'modules-respond',
    name: 'assistance-silent',
    verdict: 'fail',
    plant: changeModule(assistance, (found) => {
      found.state = 'silent'
      found.codes = []
    }),
  },
  {
    check: 'modules-respond',
    name: 'other-silent',
    verdict: 'warn',
    plant: changeModule(/cluster|body|climate|air cond/i, (found, scan) => {
      if (scan.statedCodes !== null) scan.statedCodes -= found.codes.length
      found.state = 'silent'
      found.codes = []
    }),
  },
  {
    check: 'fault-codes-well-formed',
    name: 'digit-four',
    verdict: 'warn',
    plant: addCode('before', other, code('B5A21', null, 'Stored', 'Entry')),
  },
  {
    check: 'fault-codes-well-formed',
    name: 'letter-beyond-f',
    verdict: 'warn',
    plant: addCode('before', other, code('U01G4', null, 'Stored', 'Entry')),
  },
  {
    check: 'fault-count-agrees',
    name: 'more-codes-stated',
    verdict: 'warn',
    plant: (draft) => {
      const scan = scanOf(draft, 'after')
      if (!scan || scan.statedCodes === null) return null
      scan.statedCodes += 2
      return [scan.file]
    },
  },
  {
    check: 'fault-count-agrees',
    name: 'more-modules-stated',
    verdict: 'warn',
    plant: (draft) => {
      const scan = scanOf(draft, 'before')
      if (!scan || scan.statedModules === null) return null
      scan.statedModules += 3
      return [scan.file]
    },
  },
]

function notRetested(line: string) {
  return (draft: Draft): string[] | null => {
    const scan = scanOf(draft, 'after')
    if (!scan || !scanOf(draft, 'before')?.modules.some(({ codes }) => codes.length > 0)) return null
    scan.notes.push(line)
    return [scan.file]
  }
}

/** A code is gone whose module nobody calibrated or repaired, and nothing says why. */
function unexplained(draft: Draft): string[] | null {
  const scan = scanOf(draft, 'before')
  const found = scan?.modules.find(({ name, codes }) => other.test(name) && codes.length === 0)
  if (!scan || !found || entriesOf(draft).length === 0 || !billOf(draft, 'invoice')) return null
  found.codes = [code('B1C55', '13', 'Active', 'Circuit open')]
  if (scan.statedCodes !== null) scan.statedCodes++
  for (const note of notesOf(draft)) note.lines = note.lines.filter((line) => !/cleared/i.test(line))
  return [scan.file]
}
