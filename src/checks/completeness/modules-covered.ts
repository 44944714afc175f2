import type { DocumentFacts, ModuleReading } from '../../facts/document.ts'
import { agreesInPosition } from '../../facts/position.ts'
import type { FilePlace } from '../../facts/reading.ts'
import type { Packet } from '../../packet/packet.ts'
import { calibrationRecords } from '../calibrations.ts'
import type { Check, Outcome } from '../check.ts'
import { listParameter } from '../parameters.ts'
import { findPlaces, nameSensor } from '../places.ts'
import { postScanLine } from '../shared-lines.ts'
import { listFiles, placeFiles, wasRead } from '../unread.ts'
import { isSameModule } from './module-names.ts'

export const modulesCovered: Check = {
  id: 'modules-covered',
  group: 'completeness',
  claim: 'The post-scan covers every module that the pre-scan covered, and those of the calibrated sensors.',
  messages: {
    covered: {
      state: 'met',
      text: 'The post-scan ({postFiles}) covers all {count} modules that the pre-scan ({preFiles}) lists as fitted.',
    },
    omitted: {
      state: 'unmet',
      text: 'The post-scan ({postFiles}) omits {modules}, which the pre-scan ({preFiles}) read.',
    },
    'fitted-omitted': {
      state: 'unmet',
      text: 'The post-scan ({postFiles}) omits {modules}, which the pre-scan ({preFiles}) lists as fitted without having read it.',
    },
    'sensor-module-omitted': {
      state: 'unmet',
      text: 'The {sensor} was calibrated ({calibrationFile}), and the post-scan ({postFiles}) lists no module of it.',
    },
    'sensor-module-unclear': {
      state: 'undecided',
      text: 'The {sensor} was calibrated ({calibrationFile}), and it cannot be told whether {modules} in the post-scan ({postFiles}) is its module.',
    },
    'names-differ': {
      state: 'undecided',
      text: 'The post-scan ({postFiles}) does not list {modules} of the pre-scan ({preFiles}), but the two were made with different instruments, which may name modules differently.',
    },
    'post-scan-unread': {
      state: 'undecided',
      text: 'The post-scan ({postFiles}) was read only in part and shows nothing of {modules}.',
    },
    'no-post-scan': { state: 'undecided', text: 'No post-scan was recognised, so its modules cannot be compared.' },
    'no-pre-scan': {
      state: 'undecided',
      text: 'No pre-scan was recognised, so the modules of the post-scan ({postFiles}) cannot be compared with any.',
    },
    'no-modules': { state: 'undecided', text: '{files} lists no modules, so it cannot be told which were covered.' },
  },
  parameters: {
    sensorsWithModule: 'Sensors that have a module of their own, which a scan of the whole vehicle lists.',
  },
  remedy: 'Scan the whole vehicle again, so that every module that was read before the work is read after it.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'vehicle',
  exposes: {
    shop: 'a fault that the second scan could not see',
  },
  collect: [postScanLine],
  run(packet, parameters) {
    const own = listParameter(parameters, 'sensorsWithModule')
    const post = collectModules(packet, 'post-scan')
    if (post.documents.length === 0) return [{ state: 'undecided', message: 'no-post-scan', data: {}, evidence: [] }]
    if (post.modules.length === 0) return [describeEmpty(post)]
    const pre = collectModules(packet, 'pre-scan')
    const outcomes = [...compareScans(pre, post), ...findSensorsOmitted(packet, pre, post, own)]
    if (outcomes.length > 0) return outcomes
    const data = { preFiles: listFiles(pre.documents), postFiles: listFiles(post.documents), count: pre.modules.length }
    return [{ state: 'met', message: 'covered', data, evidence: placesOf([...pre.modules, ...post.modules]) }]
  },
}

interface Listed {
  module: ModuleReading
  evidence: FilePlace[]
}

interface Scan {
  documents: DocumentFacts[]
  /** Without those that the scan says are not fitted. */
  modules: Listed[]
}

/** Modules of all scans of one kind: a vehicle may be scanned in parts. */
function collectModules(packet: Packet, kind: 'pre-scan' | 'post-scan'): Scan {
  const documents = packet.documents.filter((document) => document.kind === kind)
  const modules = documents.flatMap((document) =>
    (document.modules ?? []).flatMap((module, index): Listed[] => {
      if (module.state === 'not-fitted') return []
      return [{ module, evidence: findPlaces(document, `modules.${index}`, module.name) }]
    }),
  )
  return { documents, modules }
}

function placesOf(listed: readonly Listed[]): FilePlace[] {
  return listed.flatMap(({ evidence }) => evidence)
}

function describeEmpty({ documents }: Scan): Outcome {
  return {
    state: 'undecided',
    message: 'no-modules',
    data: { files: listFiles(documents) },
    evidence: placeFiles(documents),
  }
}

function compareScans(pre: Scan, post: Scan): Outcome[] {
  const postFiles = listFiles(post.documents)
  if (pre.documents.length === 0) {
    return [{ state: 'undecided', message: 'no-pre-scan', data: { postFiles }, evidence: placeFiles(post.documents) }]
  }
  if (pre.modules.length === 0) return [describeEmpty(pre)]
  const missing = pre.modules.filter(({ module }) => !lists(post, module))
  if (missing.length === 0) return []
  const describe = (state: Outcome['state'], message: string, listed: readonly Listed[]): Outcome[] => {
    if (listed.length === 0) return []
    const modules = [...new Set(listed.map(({ module }) => module.name))]
    const data = { modules, preFiles: listFiles(pre.documents), postFiles }
    return [{ state, message, data, evidence: [...placesOf(listed), ...placeFiles(post.documents)] }]
  }
  if (!post.documents.every(listWasRead) || isShort(post, pre))
    return describe('undecided', 'post-scan-unread', missing)
  if (madeWithOthers(pre, post)) return describe('undecided', 'names-differ', missing)
  const wasListedOnly = ({ module }: Listed) => module.state === 'no-response' || module.state === 'unknown'
  return [
    ...describe(
      'unmet',
      'omitted',
      missing.filter((listed) => !wasListedOnly(listed)),
    ),
    ...describe('unmet', 'fitted-omitted', missing.filter(wasListedOnly)),
  ]
}

/** Was the list of modules read to its end, as far as the scan's own count tells? */
function listWasRead(document: DocumentFacts): boolean {
  const { modules = [], statedModuleCount = 0 } = document
  return wasRead(document) && modules.length >= statedModuleCount
}

/** So much shorter a list was misread, or is of one part of the vehicle: what it lacks, it cannot be held to. */
const shortShare = 1 / 3

function isShort(post: Scan, pre: Scan): boolean {
  return post.modules.length < shortShare * pre.modules.length
}

function lists(scan: Scan, module: ModuleReading): boolean {
  return scan.modules.some((listed) => isSameModule(listed.module, module))
}

/** True when both scans name their instruments and no name stands in both. */
function madeWithOthers(pre: Scan, post: Scan): boolean {
  const namesOf = (scan: Scan) =>
    scan.documents.flatMap(({ instrument }) => (instrument?.name ? [instrument.name.toLowerCase()] : []))
  const [before, after] = [namesOf(pre), namesOf(post)]
  return before.length > 0 && after.length > 0 && !before.some((name) => after.includes(name))
}

/** Calibrated sensors of whose module the post-scan shows nothing; those that the pre-scan lists are compared above. */
function findSensorsOmitted(packet: Packet, pre: Scan, post: Scan, own: readonly string[]): Outcome[] {
  const seen = new Set<string>()
  return calibrationRecords(packet).flatMap((record): Outcome[] => {
    const { sensor, position, outcome } = record.reading
    const name = nameSensor(sensor, position)
    if (outcome === 'not-performed' || !own.includes(sensor) || seen.has(name)) return []
    seen.add(name)
    const isIts = ({ module }: Listed) => module.sensor === sensor && agreesInPosition(position, module.position)
    if (post.modules.some(isIts) || pre.modules.some(isIts)) return []
    const unclear = post.modules.filter(
      ({ module }) => module.system === 'driver-assistance' && module.sensor === undefined,
    )
    const data = { sensor: name, calibrationFile: record.document.file, postFiles: listFiles(post.documents) }
    const calibrated = findPlaces(record.document, `calibrations.${record.index}`, name)
    if (unclear.length > 0) {
      const modules = unclear.map(({ module }) => module.name)
      const evidence = [...calibrated, ...placesOf(unclear)]
      return [{ state: 'undecided', message: 'sensor-module-unclear', data: { ...data, modules }, evidence }]
    }
    const evidence = [...calibrated, ...placeFiles(post.documents)]
    if (post.documents.every(listWasRead) && !isShort(post, pre))
      return [{ state: 'unmet', message: 'sensor-module-omitted', data, evidence }]
    return [{ state: 'undecided', message: 'post-scan-unread', data: { ...data, modules: `the ${name}` }, evidence }]
  })
}
