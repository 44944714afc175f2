/**
 * The same calibration on two lines. A sublet firm's invoice to the shop is not counted beside the shop's own line: the
 * shop passes that charge on. Left and right, static and dynamic, labour and material are charged apart rightly.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { billedLines } from './billed-work.ts'
import { type Charge, compareCharges, countPlaces, countRuns, listCharges, saysSublet } from './charges.ts'
import { findSupplierInvoices } from './supplier-invoices.ts'

export const billedOnce: Check = {
  id: 'billed-once',
  group: 'billing',
  claim: 'No calibration is charged twice.',
  messages: {
    once: { state: 'met', text: '{invoices} charge each calibration once: {works}.' },
    twice: { state: 'unmet', text: 'The {work} is charged twice in {file}: "{line}" and "{otherLine}".' },
    'own-and-sublet': {
      state: 'unmet',
      text: 'The {work} is charged in {file} as "{line}" and again as "{otherLine}", which passes on the invoice {supplier}.',
    },
    'maybe-twice': {
      state: 'unmet',
      text: 'The {work} may be charged twice in {file}: "{line}" and "{otherLine}".',
    },
    'in-two-invoices': {
      state: 'unmet',
      text: 'The {work} is charged in {file} ("{line}") and in {otherFile} ("{otherLine}"); one may replace the other.',
    },
    'several-runs': {
      state: 'undecided',
      text: 'The {work} is charged twice in {file} ("{line}" and "{otherLine}"), and {runs} runs of it are recorded.',
    },
    'nothing-billed': { state: 'undecided', text: 'No invoice charges for a calibration of a named sensor.' },
  },
  parameters: {},
  remedy: 'The invoice without the second line, or what was done under each of the two lines.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: { insurer: 'paying twice for one calibration' },
  // billed-is-evidenced asks for the invoice.
  collect: [],
  run(packet) {
    const charges = listCharges(packet)
    const [first] = charges
    if (first === undefined) return [{ state: 'undecided', message: 'nothing-billed', data: {}, evidence: [] }]
    const suppliers = findSupplierInvoices(packet)
    const within = [...Map.groupBy(charges, (charge) => charge.invoice).values()].flatMap((own) =>
      judgeInvoice(packet, own),
    )
    const outcomes = [...within, ...judgeSublet(packet, charges, suppliers), ...judgeInvoices(charges, suppliers)]
    if (outcomes.length > 0) return outcomes
    const data = {
      invoices: [...new Set(charges.map(({ invoice }) => invoice.file))],
      works: [...new Set(charges.map(({ work }) => work.name))],
    }
    return [{ state: 'met', message: 'once', data, evidence: charges.flatMap(placesOf) }]
  },
}

/** Two lines of one invoice; the line named is the first, and each later one is told once. */
function judgeInvoice(packet: Packet, charges: readonly Charge[]): Outcome[] {
  return charges.flatMap((later, index): Outcome[] => {
    const earlier = charges.slice(0, index).filter((charge) => charge.index !== later.index)
    const same = earlier.filter((charge) => compareCharges(charge, later) !== 'apart')
    const [first] = same
    if (first === undefined || same.length < countPlaces(packet, later)) return []
    const data = { ...describe(first, later), runs: countRuns(packet, later) }
    const evidence = [...placesOf(first), ...placesOf(later)]
    if (data.runs > same.length) return [{ state: 'undecided', message: 'several-runs', data, evidence }]
    const message = same.some((charge) => compareCharges(charge, later) === 'same') ? 'twice' : 'maybe-twice'
    return [{ state: 'unmet', message, data, evidence }]
  })
}

/** A line "sublet: calibration" that names no sensor passes on a supplier's invoice, which tells what it is for. */
function judgeSublet(packet: Packet, charges: readonly Charge[], suppliers: readonly DocumentFacts[]): Outcome[] {
  const passedOn = billedLines(packet).filter(({ invoice, operation }) => {
    const named = charges.some((charge) => charge.invoice === invoice && charge.operation === operation)
    return !named && !suppliers.includes(invoice) && operation.kind === 'calibration' && saysSublet(operation)
  })
  return passedOn.flatMap(({ invoice, index, operation }) =>
    charges
      .filter((charge) => charge.invoice === invoice && !saysSublet(charge.operation))
      .flatMap((own): Outcome[] => {
        const theirs = charges.filter(
          (charge) => suppliers.includes(charge.invoice) && compareCharges(own, charge) !== 'apart',
        )
        const supplier = theirs[0]?.invoice
        if (supplier === undefined) return []
        const all = charges.filter((charge) => charge.invoice === supplier)
        // A line of a lower price need not be for all that the supplier charges.
        const isWhole = all.length === 1 || (operation.amount ?? 0) >= sumOf(all)
        const data = {
          ...describe(own, { ...own, operation }),
          supplier: supplier.file,
        }
        const evidence = [
          ...placesOf(own),
          ...findPlaces(invoice, `operations.${index}`, operation.text),
          ...theirs.flatMap(placesOf),
        ]
        return [{ state: 'unmet', message: isWhole ? 'own-and-sublet' : 'maybe-twice', data, evidence }]
      }),
  )
}

function sumOf(charges: readonly Charge[]): number {
  const lines = new Map(charges.map(({ operation }) => [operation, operation.amount ?? Number.POSITIVE_INFINITY]))
  return [...lines.values()].reduce((sum, amount) => sum + amount, 0)
}

/** Two invoices to the same payer: a second copy, a corrected one, or a second charge. */
function judgeInvoices(charges: readonly Charge[], suppliers: readonly DocumentFacts[]): Outcome[] {
  const own = charges.filter((charge) => !suppliers.includes(charge.invoice))
  return own.flatMap((later, index): Outcome[] => {
    const first = own
      .slice(0, index)
      .find((charge) => charge.invoice !== later.invoice && compareCharges(charge, later) === 'same')
    if (first === undefined) return []
    const data = { ...describe(first, later), otherFile: later.invoice.file }
    return [{ state: 'unmet', message: 'in-two-invoices', data, evidence: [...placesOf(first), ...placesOf(later)] }]
  })
}

function describe(first: Charge, later: Charge) {
  return {
    work: first.work.name,
    file: first.invoice.file,
    line: first.operation.text,
    otherLine: later.operation.text,
    amount: first.operation.amount ?? null,
    otherAmount: later.operation.amount ?? null,
  }
}

function placesOf({ invoice, index, operation }: Charge): FilePlace[] {
  return findPlaces(invoice, `operations.${index}`, operation.text)
}
