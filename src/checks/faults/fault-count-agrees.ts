/**
 * The numbers of codes and modules that a scan states, beside those that it lists. A count of one status, of the modules
 * that answered, or of those that are fitted, is a count of a part; a file that was read in part may hold the rest.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { distinctPlaces, findPlaces } from '../places.ts'
import { wasRead } from '../unread.ts'

export const faultCountAgrees: Check = {
  id: 'fault-count-agrees',
  group: 'faults',
  claim: 'The number of codes and modules that a scan states is the number that it lists.',
  messages: {
    'codes-differ': { state: 'unmet', text: '{file} states {stated} codes and lists {listed}.' },
    'modules-differ': { state: 'unmet', text: '{file} states {stated} modules and lists {listed}.' },
    agree: { state: 'met', text: 'As many codes and modules are listed as are stated in {files}.' },
    'counts-part': {
      state: 'undecided',
      text: '{file} states {stated} {what} and lists {listed}; the number stated may be that of a part of them.',
    },
    'read-in-part': {
      state: 'undecided',
      text: '{file} states {stated} {what}, of which {listed} were read; the rest may stand where it was not read.',
    },
    'not-stated': { state: 'undecided', text: 'No scan of the packet states how many codes or modules it lists.' },
  },
  parameters: {},
  remedy: 'The whole scan as the instrument wrote it, with every page.',
  suppliers: ['shop', 'calibrator'],
  settledWith: 'papers',
  exposes: {
    shop: 'a scan from which something seems to be missing',
    calibrator: 'doubt about a scan that leaves something out',
  },
  collect: [],
  run(packet) {
    const scans = packet.documents.filter(({ kind }) => ['pre-scan', 'post-scan', 'scan'].includes(kind))
    const outcomes = scans.flatMap((scan) => [...judgeCodes(scan), ...judgeModules(scan)])
    const others = outcomes.filter(({ state }) => state !== 'met')
    const met = outcomes.filter(({ state }) => state === 'met')
    if (others.length > 0) return others
    if (met.length === 0) return [{ state: 'undecided', message: 'not-stated', data: {}, evidence: [] }]
    const evidence = distinctPlaces(met.flatMap((outcome) => outcome.evidence))
    const files = [...new Set(met.map(({ data }) => String(data.file)))]
    return [{ state: 'met', message: 'agree', data: { files }, evidence }]
  },
}

function judgeCodes(scan: DocumentFacts): Outcome[] {
  const { statedCodeCount: stated, codes = [] } = scan
  if (stated === undefined || stated === null) return []
  const parts = [...new Set(codes.map(({ status }) => status))].map(
    (status) => codes.filter((code) => code.status === status).length,
  )
  const active = codes.filter(({ status }) => status === 'active' || status === 'confirmed').length
  const distinct = new Set(codes.map(({ code, failureType }) => `${code}${failureType ?? ''}`)).size
  const holders = new Set(codes.map(({ module }) => module)).size
  return judgeCount(scan, 'codes', stated, codes.length, [...parts, active, distinct, holders])
}

function judgeModules(scan: DocumentFacts): Outcome[] {
  const { statedModuleCount: stated, modules = [] } = scan
  if (stated === undefined) return []
  const without = (...states: string[]) => modules.filter(({ state }) => !states.includes(state)).length
  const faulty = modules.filter(({ state }) => state === 'fault').length
  const parts = [without('not-fitted'), without('no-response'), without('not-fitted', 'no-response'), faulty]
  // A report that lists only the modules with codes counts the others too.
  const selective = modules.every(({ state }) => state === 'fault' || state === 'no-response')
  return judgeCount(scan, 'modules', stated, modules.length, selective ? [stated] : parts)
}

/** `parts`: numbers that a count of some of the things listed could give. */
function judgeCount(
  scan: DocumentFacts,
  what: 'codes' | 'modules',
  stated: number,
  listed: number,
  parts: readonly number[],
): Outcome[] {
  const { file } = scan
  const path = what === 'codes' ? 'statedCodeCount' : 'statedModuleCount'
  const evidence = [...findPlaces(scan, path, `${stated}`), ...findPlaces(scan, `${what}.0`)]
  const data = { file, stated, listed, what }
  if (stated === listed) return [{ state: 'met', message: 'agree', data, evidence }]
  if (!wasRead(scan)) return [{ state: 'undecided', message: 'read-in-part', data, evidence }]
  if (parts.includes(stated)) return [{ state: 'undecided', message: 'counts-part', data, evidence }]
  return [{ state: 'unmet', message: `${what}-differ`, data, evidence }]
}
