/** What an invoice charges for, broken down into single pieces of work that can each have evidence. */
import type { CalibrationMethod, DocumentFacts, OperationReading, Sensor } from '../../facts/document.ts'
import type { Packet } from '../../packet/packet.ts'
import { nameSensor } from '../places.ts'

export interface BilledLine {
  invoice: DocumentFacts
  /** Index into the invoice's operations. */
  index: number
  operation: OperationReading
}

/** One thing that must have been done for a line to be owed. */
export type BilledWork =
  | { kind: 'calibration'; sensor: Sensor; position: string | null; method: CalibrationMethod; name: string }
  | { kind: 'scan'; when: 'before' | 'after' | 'any'; name: string }
  | { kind: 'alignment'; name: string }

const kinds = new Set(['calibration', 'scan', 'alignment'])

/** The lines of all invoices that charge for a calibration, scan or alignment. An estimate is not a bill. */
export function billedLines(packet: Packet): BilledLine[] {
  return packet.documents
    .filter((document) => document.kind === 'invoice')
    .flatMap((invoice) =>
      (invoice.operations ?? []).flatMap((operation, index): BilledLine[] =>
        operation.billed && kinds.has(operation.kind) ? [{ invoice, index, operation }] : [],
      ),
    )
}

/** The pieces of work in a line; empty where it says "calibration" and names no sensor. */
export function workOf(operation: OperationReading): BilledWork[] {
  if (operation.kind === 'alignment') return [{ kind: 'alignment', name: 'wheel alignment' }]
  if (operation.kind === 'scan') return scansOf(operation)
  const named = operation.calls.filter((sensor) => sensor !== 'other')
  return named.flatMap((sensor) =>
    positionsOf(operation).flatMap((position) =>
      methodsOf(operation).map((method): BilledWork => {
        const words = nameSensor(sensor, position)
        const name = method === 'unknown' ? `${words} calibration` : `${method} calibration of ${words}`
        return { kind: 'calibration', sensor, position, method, name }
      }),
    ),
  )
}

function scansOf({ scan, text }: OperationReading): BilledWork[] {
  const before: BilledWork = { kind: 'scan', when: 'before', name: 'pre-scan' }
  const after: BilledWork = { kind: 'scan', when: 'after', name: 'post-scan' }
  if (/\bpre\b.*\bpost\b|\bbefore\b.*\bafter\b/i.test(text)) return [before, after]
  if (scan === 'before') return [before]
  return scan === 'after' ? [after] : [{ kind: 'scan', when: 'any', name: 'scan' }]
}

/** "Left and right", "both sides": each side is a calibration of its own. */
function positionsOf({ position, text }: OperationReading): (string | null)[] {
  const words = `${position ?? ''} ${text}`.toLowerCase()
  if (/\bleft\b.*\bright\b|\bright\b.*\bleft\b|\bboth sides\b|\bl ?[/&+] ?r\b|\blh ?[/&+] ?rh\b/.test(words)) {
    const end = /\b(front|rear)\b/.exec(position ?? '')?.[1]
    return end === undefined ? ['left', 'right'] : [`${end} left`, `${end} right`]
  }
  return [position ?? null]
}

function methodsOf({ method, text }: OperationReading): CalibrationMethod[] {
  if (/\bstatic\b/i.test(text) && /\bdynamic\b/i.test(text)) return ['static', 'dynamic']
  return [method ?? 'unknown']
}
