/** What invoices charge for calibrations, one entry a line and piece of work, and when two of them are one. */
import type { OperationReading, Sensor } from '../../facts/document.ts'
import { agreesInPosition } from '../../facts/position.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords, finalAttempt } from '../calibrations.ts'
import { type BilledLine, type BilledWork, billedLines, workOf } from './billed-work.ts'

type CalibrationWork = Extract<BilledWork, { kind: 'calibration' }>

export interface Charge extends BilledLine {
  work: CalibrationWork
}

/** Every priced piece of calibration work. A line without a price is part of another; a credit takes back the line it names. */
export function listCharges(packet: Packet): Charge[] {
  const lines = billedLines(packet).filter(({ operation }) => operation.amount !== 0)
  const credits = lines.filter(({ operation }) => (operation.amount ?? 0) < 0)
  const charged = lines.filter(({ operation }) => (operation.amount ?? 0) >= 0)
  for (const credit of credits) {
    const taken = charged.findIndex(
      (line) => line.invoice === credit.invoice && takesBack(credit.operation, line.operation),
    )
    if (taken >= 0) charged.splice(taken, 1)
  }
  return charged.flatMap((line) =>
    workOf(line.operation).flatMap((work): Charge[] => (work.kind === 'calibration' ? [{ ...line, work }] : [])),
  )
}

function takesBack(credit: OperationReading, line: OperationReading): boolean {
  return -(credit.amount ?? 0) === line.amount && credit.calls.join() === line.calls.join()
}

/** True for a line that says that another firm did the work. */
export function saysSublet({ text }: OperationReading): boolean {
  return /\bsub[- ]?let\b|\bsub[- ]?contract/i.test(text)
}

/** Words that name a part of the work that is charged apart. */
const shares =
  /\b(?:labou?r|materials?|set-?up|target(?: (?:rental|fee))?|travel|trip|drive time|mileage|fee|rental|equipment|report|parts|additional|extra)\b/i

/**
 * `same`: one piece of work in the same or fewer words, or once as sublet and once not; `similar`: one may be another
 * part or another method of it; `apart`: two pieces of work.
 */
export function compareCharges(a: Charge, b: Charge): 'same' | 'similar' | 'apart' {
  if (a.work.sensor !== b.work.sensor || !agreesInPosition(a.work.position, b.work.position)) return 'apart'
  const methods = [a.work.method, b.work.method]
  const isSameMethod = a.work.method === b.work.method
  if (!isSameMethod && !methods.includes('unknown')) return 'apart'
  const [one, two] = [a.operation, b.operation]
  // A line without a price may only say what a priced one is for.
  if (one.amount === undefined || two.amount === undefined) return 'apart'
  if (shares.test(one.text) !== shares.test(two.text)) return 'apart'
  const isSamePlace = (a.work.position === null) === (b.work.position === null)
  if (!isSameMethod || !isSamePlace) return 'similar'
  if (saysSublet(one) !== saysSublet(two)) return 'same'
  return holds(wordsOf(one.text), wordsOf(two.text)) ? 'same' : 'similar'
}

function wordsOf(text: string): Set<string> {
  const words = text
    .toLowerCase()
    .replace(/\([^)]*\)/g, ' ')
    .match(/\p{L}{2,}/gu)
  return new Set(words ?? [])
}

function holds(a: ReadonlySet<string>, b: ReadonlySet<string>): boolean {
  return a.isSubsetOf(b) || b.isSubsetOf(a)
}

/** How many sensors of the kind a vehicle usually has where a line tells no position (common practice, no source). */
const usualCount: Partial<Record<Sensor, number>> = {
  'corner-radar': 2,
  headlamp: 2,
  'ride-height': 4,
  'surround-camera': 4,
  ultrasonic: 12,
  'occupant-classification': 2,
}

/** How many lines there can be for such work: one, or where no position is told one for each sensor of the kind. */
export function countPlaces(packet: Packet, { work }: Charge): number {
  if (work.position !== null) return 1
  const recorded = runsOf(packet, work).flatMap(({ reading }) => reading.position ?? [])
  return Math.max(1, new Set(recorded).size, usualCount[work.sensor] ?? 1)
}

/** How many runs of the work are recorded, at times of their own. */
export function countRuns(packet: Packet, { work }: Charge): number {
  const times = runsOf(packet, work).flatMap(({ reading }) => reading.ended?.local ?? reading.started?.local ?? [])
  return new Set(times).size
}

function runsOf(packet: Packet, work: CalibrationWork) {
  return calibrationRecords(packet).filter(({ reading }) => {
    if (reading.sensor !== work.sensor || finalAttempt(reading).outcome === 'not-performed') return false
    const sameMethod = reading.method === work.method || [reading.method, work.method].includes('unknown')
    return sameMethod && agreesInPosition(reading.position, work.position)
  })
}
