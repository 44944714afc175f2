/**
 * What stands in a scan where a code should, and breaks the structure of SAE J2012 / ISO 15031-6: one of the letters P, C,
 * B, U, a digit 0 to 3, three hexadecimal digits. A letter O for a nought points to a scan that was typed or retouched.
 */
import type { DocumentFacts } from '../../facts/document.ts'
import type { Check, Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { measureReach } from '../unread.ts'

export const faultCodesWellFormed: Check = {
  id: 'fault-codes-well-formed',
  group: 'faults',
  claim: 'Every code that a scan lists has the structure of a trouble code.',
  messages: {
    'look-alike': {
      state: 'unmet',
      text: '{file} prints {codes} where a code should stand: {likely} with letters for digits.',
    },
    structure: {
      state: 'unmet',
      text: '{file} prints {codes} where a code should stand, which no trouble code can be.',
    },
    'well-formed': { state: 'met', text: 'Each of the {count} codes in {files} has the structure of a trouble code.' },
    'own-number': {
      state: 'undecided',
      text: '{file} lists {codes} where codes stand: numbers of another kind than trouble codes.',
    },
    'no-codes': { state: 'undecided', text: 'No scan of the packet lists a code.' },
    'not-read': { state: 'undecided', text: 'Not read in full, so that not all codes were seen: {files}.' },
    'no-scan': { state: 'undecided', text: 'The packet holds no scan.' },
  },
  parameters: {},
  remedy: 'The scan as the instrument wrote it, or another export of the same session.',
  suppliers: ['shop', 'calibrator', 'instrument-maker'],
  settledWith: 'papers',
  exposes: { shop: 'a scan whose codes cannot be looked up', calibrator: 'doubt about where a scan comes from' },
  collect: [],
  run(packet) {
    const scans = packet.documents.filter(({ kind }) => ['pre-scan', 'post-scan', 'scan'].includes(kind))
    if (scans.length === 0) return [{ state: 'undecided', message: 'no-scan', data: {}, evidence: [] }]
    const odd = scans.flatMap(judgeScan)
    if (odd.length > 0) return odd
    const files = scans.filter(({ codes = [] }) => codes.length > 0)
    if (files.length > 0) {
      const count = files.reduce((sum, { codes = [] }) => sum + codes.length, 0)
      const evidence = files.flatMap((scan) => findPlaces(scan, 'codes.0'))
      return [{ state: 'met', message: 'well-formed', data: { count, files: files.map(({ file }) => file) }, evidence }]
    }
    const unread = scans.filter((scan) => measureReach(scan) !== 'whole').map(({ file }) => file)
    if (unread.length > 0) return [{ state: 'undecided', message: 'not-read', data: { files: unread }, evidence: [] }]
    return [{ state: 'undecided', message: 'no-codes', data: {}, evidence: [] }]
  },
}

/** One outcome for each kind of fault that a file's unread codes have. */
function judgeScan(scan: DocumentFacts): Outcome[] {
  const { file, unreadCodes = [] } = scan
  return (['look-alike', 'structure', 'own-number'] as const).flatMap((fault): Outcome[] => {
    const found = unreadCodes.flatMap((code, index) => (code.fault === fault ? [{ ...code, index }] : []))
    if (found.length === 0) return []
    const data = { file, codes: found.map(({ text }) => text), likely: found.map(({ likely }) => likely ?? '') }
    const evidence = found.flatMap(({ index, text }) => findPlaces(scan, `unreadCodes.${index}`, text))
    return [{ state: fault === 'own-number' ? 'undecided' : 'unmet', message: fault, data, evidence }]
  })
}
