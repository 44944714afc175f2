/**
 * Invoices of sublet firms against the vehicle and the days of the job. Such an invoice is often written after the work,
 * at the end of a month, and parts are ordered before the vehicle comes (common practice, no source).
 */
import type { DocumentFacts } from '../../facts/document.ts'
import { addSeconds, compareInstants, instantBounds, localSpan } from '../../facts/instant.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { compareVins } from '../../facts/vin.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { numberParameter, type Parameters } from '../parameters.ts'
import { distinctPlaces, findDeclaredPlaces, findPlaces } from '../places.ts'
import { chargesPartsAlone, findSupplierInvoices } from './supplier-invoices.ts'

export const subletAgrees: Check = {
  id: 'sublet-agrees',
  group: 'billing',
  claim: 'Each invoice of a sublet firm is for this vehicle and from the days of this job.',
  messages: {
    agrees: { state: 'met', text: '{file} agrees with the job in what it shows: {shown}.' },
    'another-vehicle': { state: 'unmet', text: '{file} names the VIN {value}; the job is on {vin}.' },
    'before-job': { state: 'unmet', text: '{file} is dated {date}, before the vehicle came in ({from}).' },
    'after-job': { state: 'unmet', text: '{file} is dated {date}, more than {days} days after the job ended ({to}).' },
    'not-comparable': {
      state: 'undecided',
      text: '{file} shows neither a VIN nor a date that could be compared with those of the job.',
    },
    'no-sublet': { state: 'undecided', text: 'The packet holds no invoice that another firm wrote to the shop.' },
  },
  parameters: {
    mostDaysAfter: 'How many days after the end of the job a sublet firm may write its invoice.',
  },
  remedy: "The sublet firm's work order or record that shows vehicle and day.",
  suppliers: ['calibrator', 'shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'a charge passed on that belongs to another job',
    calibrator: 'an invoice that seems to be for another vehicle',
    insurer: 'paying for work on another vehicle',
  },
  collect: [{ step: 'papers', per: 'job', text: 'Invoices of sublet firms, with the VIN and the day of the work' }],
  run(packet, parameters) {
    const outcomes = findSupplierInvoices(packet).flatMap((invoice) => judge(packet, invoice, parameters))
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-sublet', data: {}, evidence: [] }]
  },
}

function judge(packet: Packet, invoice: DocumentFacts, parameters: Parameters): Outcome[] {
  const vehicle = compareVehicle(packet, invoice)
  const day = compareDay(packet, invoice, numberParameter(parameters, 'mostDaysAfter'))
  const unmet = [vehicle, day].flatMap((answer) => answer?.outcome ?? [])
  if (unmet.length > 0) return unmet
  const met = [vehicle, day].filter((answer) => answer !== null)
  const { file } = invoice
  if (met.length === 0)
    return [{ state: 'undecided', message: 'not-comparable', data: { file }, evidence: [{ file, text: '' }] }]
  const data = { file, shown: met.map(({ shown }) => shown) }
  return [{ state: 'met', message: 'agrees', data, evidence: distinctPlaces(met.flatMap(({ evidence }) => evidence)) }]
}

/** What one fact says: an outcome that speaks against the invoice, or what agrees. */
interface Answer {
  outcome?: Outcome
  shown: string
  evidence: FilePlace[]
}

function compareVehicle(packet: Packet, invoice: DocumentFacts): Answer | null {
  // The invoice itself has no say in which vehicle the job is on.
  const others = packet.documents.filter((document) => document !== invoice && document.vin?.length === 17)
  const [only, ...more] = new Set(others.map((document) => document.vin))
  const declared = packet.declaration?.vehicle?.vin
  const said = others.length > 0 || declared !== undefined
  const vin = said ? (packet.vehicle.vin ?? declared ?? (more.length === 0 ? only : undefined)) : undefined
  const value = invoice.vin
  if (value === undefined || vin === undefined) return null
  const evidence = findPlaces(invoice, 'vin', value)
  const comparison = compareVins(value, vin)
  if (comparison.kind === 'incomparable') return null
  if (comparison.kind === 'same' || (comparison.kind === 'partial' && comparison.agrees))
    return { shown: value, evidence }
  const witness = others.find((document) => document.vin === vin)
  const places = [...evidence, ...(witness === undefined ? [] : findPlaces(witness, 'vin', vin))]
  const data = { file: invoice.file, value, vin }
  return { shown: value, evidence, outcome: { state: 'unmet', message: 'another-vehicle', data, evidence: places } }
}

function compareDay(packet: Packet, invoice: DocumentFacts, mostDaysAfter: number): Answer | null {
  const { date } = invoice
  const from = findStart(packet)
  const to = findEnd(packet, invoice)
  if (date === undefined || (from === null && to === null)) return null
  const evidence = findPlaces(invoice, 'date', date.text)
  const base = { file: invoice.file, date: date.text, days: mostDaysAfter, from: from?.text ?? '', to: to?.text ?? '' }
  const tell = (message: string, edge: Edge, working: WorkingStep[]): Answer => {
    const outcome: Outcome = { state: 'unmet', message, data: base, evidence: [...evidence, ...edge.evidence], working }
    return { shown: date.text, evidence, outcome }
  }
  if (from !== null && !chargesPartsAlone(invoice) && compareInstants(date.latest, from.instant) < 0)
    return tell('before-job', from, [
      {
        text: 'The latest reading of {date} is {latest}, before {instant}.',
        data: { date: date.text, latest: date.latest, instant: from.instant },
      },
    ])
  if (to !== null) {
    const bound = addSeconds(to.instant, mostDaysAfter * 86_400)
    if (compareInstants(date.earliest, bound) > 0)
      return tell('after-job', to, [
        { text: '{instant} plus {days} days is {bound}.', data: { instant: to.instant, days: mostDaysAfter, bound } },
        { text: 'The earliest reading of {date} is {earliest}.', data: { date: date.text, earliest: date.earliest } },
      ])
  }
  return { shown: date.text, evidence }
}

interface Edge {
  text: string
  instant: string
  evidence: FilePlace[]
}

/** The earliest that the vehicle can have come in: as declared, else the day of the pre-scan less a day to look at it. */
function findStart(packet: Packet): Edge | null {
  const declared = readDeclared(packet, 'intake')
  if (declared !== null) return declared
  const scan = packet.documents.find((document) => document.kind === 'pre-scan' && document.date !== undefined)
  if (scan?.date === undefined) return null
  const { text, earliest } = scan.date
  return { text, instant: addSeconds(earliest, -86_400), evidence: findPlaces(scan, 'date', text) }
}

/** The latest end of the job: as declared, else the latest date of an invoice of the shop. */
function findEnd(packet: Packet, invoice: DocumentFacts): Edge | null {
  const declared = readDeclared(packet, 'release')
  if (declared !== null) return declared
  const suppliers = findSupplierInvoices(packet)
  const edges = packet.documents.flatMap((document): Edge[] => {
    const isOwn = document.kind === 'invoice' && document !== invoice && !suppliers.includes(document)
    if (!isOwn || document.date === undefined) return []
    const { text, latest } = document.date
    return [{ text, instant: latest, evidence: findPlaces(document, 'date', text) }]
  })
  return edges.toSorted((a, b) => compareInstants(a.instant, b.instant)).at(-1) ?? null
}

function readDeclared(packet: Packet, key: 'intake' | 'release'): Edge | null {
  const { declaration } = packet
  const text = declaration?.[key]
  if (text === undefined) return null
  const [, local = '', offset] = /^([\dT:-]{10,19}?)(?:\.\d+)?(Z|[+-]\d\d:\d\d)?$/.exec(text) ?? []
  if (localSpan(local) === null) return null
  // The day as a whole: an invoice may be written in the hour before the vehicle is let in or out.
  const { earliest, latest } = instantBounds(local.slice(0, 10), offset ?? declaration?.zone ?? null)
  return { text, instant: key === 'intake' ? earliest : latest, evidence: findDeclaredPlaces(packet, key, text) }
}
