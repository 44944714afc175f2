/**
 * A code that the vehicle came with and left without went for a reason: somebody cleared it, repaired its cause, or
 * calibrated the sensor that reported it. Any of these in the packet explains it; what nothing touches is asked about.
 */
import type { CodeReading, DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import { formatTroubleCode } from '../../facts/trouble-code.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords, finalAttempt } from '../calibrations.ts'
import type { Check, Outcome, WorkingStep } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { codesWereRead, lastPostScans } from './post-scan-codes.ts'
import { showsCode, simplifyName, wasSilent } from './same-code.ts'

export const priorFaultsExplained: Check = {
  id: 'prior-faults-explained',
  group: 'faults',
  claim: 'Every code of the pre-scan that is gone was cleared, repaired, or belonged to a sensor that was calibrated.',
  messages: {
    unexplained: {
      state: 'unmet',
      text: '{codes} of the pre-scan are gone, and nothing in the packet says that they were cleared or that their cause was repaired.',
    },
    explained: { state: 'met', text: 'The packet says what became of {codes}, which the post-scan no longer shows.' },
    'none-gone': { state: 'met', text: 'No code of the pre-scan that called for work is gone from the post-scan.' },
    'not-read': { state: 'undecided', text: 'Not read well enough to say which codes are gone: {files}.' },
    'no-pre-scan': { state: 'undecided', text: 'The packet holds no pre-scan.' },
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan.' },
  },
  parameters: {
    statuses: 'Statuses of a pre-scan code that call for an explanation; any clearing takes stored ones with it.',
  },
  remedy: 'A line on the invoice or a note that says how the cause was repaired and when the codes were cleared.',
  suppliers: ['shop'],
  settledWith: 'papers',
  exposes: {
    shop: 'having to say later what became of a fault',
    insurer: 'paying for a fault whose cause nobody wrote down',
  },
  collect: [
    {
      step: 'repair',
      per: 'job',
      text: 'Write down when the codes were cleared, and which repair each of them led to',
    },
  ],
  run(packet, parameters) {
    const statuses = listParameter(parameters, 'statuses')
    const before = packet.documents.filter(({ kind }) => kind === 'pre-scan')
    const after = lastPostScans(packet)
    const undecided = (message: string, data: Outcome['data'] = {}): Outcome[] => [
      { state: 'undecided', message, data, evidence: [] },
    ]
    if (before.length === 0) return undecided('no-pre-scan')
    if (after.length === 0) return undecided('no-post-scan')
    const unread = after.filter((scan) => !codesWereRead(scan))
    if (unread.length > 0) return undecided('not-read', { files: unread.map(({ file }) => file) })
    const gone = findGone(before, after, statuses)
    if (gone.length > 0) return judgeGone(packet, gone)
    const blank = before.filter((scan) => !codesWereRead(scan))
    if (blank.length > 0) return undecided('not-read', { files: blank.map(({ file }) => file) })
    const evidence = [...before, ...after].flatMap((scan) => findPlaces(scan, 'codes'))
    return [{ state: 'met', message: 'none-gone', data: {}, evidence }]
  },
}

interface Gone {
  code: CodeReading
  scan: DocumentFacts
  place: FilePlace[]
}

/** Codes that no last post-scan shows, though their module answered each of them. */
function findGone(
  before: readonly DocumentFacts[],
  after: readonly DocumentFacts[],
  statuses: readonly string[],
): Gone[] {
  return before.flatMap((scan) =>
    (scan.codes ?? []).flatMap((code, index): Gone[] => {
      if (!statuses.includes(code.status)) return []
      if (after.some((post) => showsCode(post, code) || wasSilent(post, code))) return []
      return [{ code, scan, place: findPlaces(scan, `codes.${index}`, formatTroubleCode(code)) }]
    }),
  )
}

interface Explanation {
  working: WorkingStep
  places: FilePlace[]
}

function judgeGone(packet: Packet, gone: readonly Gone[]): Outcome[] {
  const clearing = findClearing(packet)
  const told = gone.map((one) => ({ one, why: clearing ?? findRepair(packet, one) ?? findCalibration(packet, one) }))
  const open = told.filter(({ why }) => why === null)
  if (open.length > 0) {
    const data = { codes: open.map(({ one }) => nameCode(one.code)) }
    return [{ state: 'unmet', message: 'unexplained', data, evidence: open.flatMap(({ one }) => one.place) }]
  }
  const steps = new Map(told.flatMap(({ why }) => (why ? [[JSON.stringify(why.working), why.working] as const] : [])))
  return [
    {
      state: 'met',
      message: 'explained',
      data: { codes: gone.map(({ code }) => nameCode(code)) },
      evidence: distinctPlaces([
        ...gone.flatMap(({ place }) => place),
        ...told.flatMap(({ why }) => why?.places ?? []),
      ]),
      working: [...steps.values()],
    },
  ]
}

const nameCode = (code: CodeReading) =>
  code.module === undefined ? formatTroubleCode(code) : `${formatTroubleCode(code)} in ${code.module}`

/** Words that say that the codes were cleared, anywhere in the packet: they speak of all of them. */
function findClearing(packet: Packet): Explanation | null {
  for (const document of packet.documents) {
    const index = (document.statements ?? []).findIndex(
      ({ about, text }) => about === 'codes-cleared' && !/\b(?:not|never|no|none|nothing)\b/i.test(text),
    )
    if (index < 0) continue
    const places = findPlaces(document, `statements.${index}`, document.statements?.[index]?.text)
    const data = { file: document.file }
    return { working: { text: '{file} says that the codes were cleared', data }, places }
  }
  return null
}

function findRepair(packet: Packet, { code, scan }: Gone): Explanation | null {
  const sensor = sensorOf(scan, code)
  const words = tellingWords(`${code.module ?? ''} ${code.text ?? ''}`)
  const touches = (text: string) => tellingWords(text).some((word) => words.includes(word))
  for (const document of packet.documents) {
    const index = (document.operations ?? []).findIndex(
      ({ kind, calls, text }) => kind !== 'scan' && ((sensor !== undefined && calls.includes(sensor)) || touches(text)),
    )
    const operation = document.operations?.[index]
    if (operation === undefined) continue
    return {
      working: {
        text: '{code}: {file} lists "{operation}"',
        data: { code: nameCode(code), file: document.file, operation: operation.text },
      },
      places: findPlaces(document, `operations.${index}`, operation.text),
    }
  }
  const declared = packet.declaration?.repairs?.find(({ what }) => touches(what))
  if (declared === undefined) return null
  const data = { code: nameCode(code), repair: declared.what }
  return { working: { text: '{code}: packet.yaml names the repair "{repair}"', data }, places: [] }
}

function findCalibration(packet: Packet, { code, scan }: Gone): Explanation | null {
  const sensor = sensorOf(scan, code)
  const words = tellingWords(`${code.module ?? ''} ${code.text ?? ''}`)
  const record = calibrationRecords(packet).find(({ reading }) => {
    if (finalAttempt(reading).outcome !== 'completed') return false
    return (
      reading.sensor === sensor ||
      tellingWords(`${reading.sensor} ${reading.name ?? ''}`).some((word) => words.includes(word))
    )
  })
  if (record === undefined) return null
  const data = { code: nameCode(code), file: record.document.file, calibration: record.label }
  return {
    working: { text: '{code}: {file} records the {calibration} calibration as completed', data },
    places: findPlaces(record.document, `calibrations.${record.index}`),
  }
}

function sensorOf(scan: DocumentFacts, code: CodeReading) {
  if (code.module === undefined) return undefined
  const name = simplifyName(code.module)
  return (scan.modules ?? []).find((module) => simplifyName(module.name) === name)?.sensor
}

/** Words that many lines share, whatever they are about. */
const common: ReadonlySet<string> = new Set(
  (
    'front rear left right upper lower control module unit system sensor circuit signal fault code data message missing ' +
    'lost communication with from invalid implausible incorrect supply range performance internal high open short ' +
    'ground calibration calibrate alignment adjustment replace repair remove install vehicle electronic assist output ' +
    'input value position function monitor status check labor labour paint refinish before after static dynamic angle'
  ).split(' '),
)

function tellingWords(text: string): string[] {
  const words = text.toLowerCase().match(/[a-z]{4,}/g) ?? []
  return words.map((word) => word.replace(/s$/, '')).filter((word) => !common.has(word))
}
