/**
 * A scan of the emission-related modules alone, held out as a scan of the vehicle. Such a scan lists one to three modules,
 * none of them of brakes, steering, restraint or driver assistance, and only powertrain codes. A short report may also list
 * only what it found faults in. So something must tell that it looked at no more: words that such scans print ("MIL
 * status", "readiness"), its own count of modules, or a module that it lists without a code while nothing names others.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter, numberParameter, type Parameters } from '../parameters.ts'
import { findPlaces } from '../places.ts'
import { listFiles, placeFiles, wasRead } from '../unread.ts'
import { mentions } from '../wording.ts'

const scanKinds = ['pre-scan', 'post-scan', 'scan'] as const

export const scanCoversVehicle: Check = {
  id: 'scan-covers-vehicle',
  group: 'completeness',
  claim: 'Each scan is of the whole vehicle, not of its emission-related modules alone.',
  messages: {
    covers: { state: 'met', text: 'The {scan} ({files}) covers {count} modules, more than those of emissions.' },
    'emissions-only': {
      state: 'unmet',
      text: 'The {scan} ({files}) is a scan of emissions alone: it lists {count} modules, no code but of the powertrain, and “{words}”.',
    },
    'powertrain-alone': {
      state: 'unmet',
      text: 'The {scan} ({files}) covers {modules} and no other module, and has no code but of the powertrain: it is no scan of the vehicle.',
    },
    'few-modules': {
      state: 'unmet',
      text: 'The {scan} ({files}) lists no module but {modules}; a scan of the whole vehicle lists brakes, steering, restraint and driver assistance too.',
    },
    'no-modules': {
      state: 'undecided',
      text: 'The {scan} ({files}) lists no modules, so that it cannot be told what it covers.',
    },
    unread: { state: 'undecided', text: 'The {scan} ({files}) could not be read in full.' },
    'no-scan': { state: 'undecided', text: 'The packet holds no scan.' },
  },
  parameters: {
    mostModules: 'Modules that a scan of emissions alone lists at most.',
    words: 'Words that only scans of emissions print, in lower case.',
    otherParts: 'Words for parts of the vehicle that emissions have nothing to do with, in lower case.',
  },
  remedy: 'A scan of all modules of the vehicle, with an instrument that reaches them.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'faults that such a scan cannot see',
    insurer: 'paying for a scan of the vehicle and getting one of its engine',
  },
  collect: [],
  run(packet, parameters) {
    const outcomes = scanKinds.flatMap((kind) => {
      const scans = packet.documents.filter((document) => document.kind === kind)
      return scans.length === 0 ? [] : [judge(packet, kind, scans, parameters)]
    })
    return outcomes.length > 0 ? outcomes : [{ state: 'undecided', message: 'no-scan', data: {}, evidence: [] }]
  },
}

/** A vehicle may be scanned in parts: all scans of one kind are judged together. */
function judge(packet: Packet, kind: string, scans: readonly DocumentFacts[], parameters: Parameters): Outcome {
  const mostModules = numberParameter(parameters, 'mostModules')
  const listed = scans.flatMap((document) =>
    (document.modules ?? []).flatMap((module, index) =>
      module.state === 'not-fitted' ? [] : [{ module, places: findPlaces(document, `modules.${index}`, module.name) }],
    ),
  )
  const names = [...new Set(listed.map(({ module }) => module.name))]
  const stated = Math.max(0, ...scans.map(({ statedModuleCount }) => statedModuleCount ?? 0))
  const counted = Math.max(names.length, stated)
  const codes = scans.flatMap((document) => document.codes ?? [])
  const outcome = (state: Outcome['state'], message: string, places: FilePlace[], words = ''): Outcome => ({
    state,
    message,
    data: { scan: kind, files: listFiles(scans), count: counted, modules: names, words },
    evidence: places.length > 0 ? places : placeFiles(scans),
  })
  const places = listed.flatMap((one) => one.places)
  const reaches = listed.some(({ module }) => module.system !== undefined && module.system !== 'other')
  if (reaches || counted > mostModules) return outcome('met', 'covers', places)
  if (!scans.every(wasRead)) return outcome('undecided', 'unread', places)
  const [telling] = findWords(packet, scans, listParameter(parameters, 'words'))
  const powertrain = codes.every(({ code }) => code.startsWith('P'))
  if (telling !== undefined && powertrain) return outcome('unmet', 'emissions-only', [telling, ...places], telling.text)
  if (names.length === 0) return outcome('undecided', 'no-modules', places)
  const alone = powertrain && kind !== 'scan' && isAll(packet, scans, listParameter(parameters, 'otherParts'))
  return outcome('unmet', alone ? 'powertrain-alone' : 'few-modules', places)
}

/**
 * Does something tell that the scans looked at no modules but those they list? Their own count does. Else one that is
 * listed without a code shows that they are no list of faults alone, unless their words, or a scan of unknown time, may
 * tell of further modules.
 */
function isAll(packet: Packet, scans: readonly DocumentFacts[], otherParts: readonly string[]): boolean {
  const unreadCodes = scans.some((scan) => (scan.unreadCodes ?? []).length > 0)
  if (unreadCodes || packet.documents.some(({ kind }) => kind === 'scan')) return false
  if (scans.every(({ statedModuleCount, modules = [] }) => statedModuleCount === modules.length)) return true
  const clean = scans.every(({ modules = [] }) => modules.some(({ state }) => state === 'no-fault'))
  return clean && findWords(packet, scans, otherParts).length === 0
}

function findWords(packet: Packet, scans: readonly DocumentFacts[], words: readonly string[]): FilePlace[] {
  return scans.flatMap(({ file }) =>
    (packet.content[file]?.lines ?? []).flatMap((line) => (mentions(line.text, words) ? [{ file, ...line }] : [])),
  )
}
