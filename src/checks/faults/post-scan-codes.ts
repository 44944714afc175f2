/** What the last scan of the vehicle left: its codes and modules, and whether it was read well enough to call it clean. */
import type { CodeReading, DocumentFacts, ModuleReading, VehicleSystem } from '../../facts/document.ts'
import { failureTypeMeaning, formatTroubleCode } from '../../facts/trouble-code.ts'
import type { Packet } from '../../packet/packet.ts'
import type { Outcome } from '../check.ts'
import { findPlaces } from '../places.ts'
import { wasRead } from '../unread.ts'

/**
 * The post-scans that no other post-scan certainly follows. Where clocks do not tell which of several came last, all of
 * these count: a code is not gone because another report of uncertain time does not show it.
 */
export function lastPostScans(packet: Packet): DocumentFacts[] {
  const events = packet.events.filter((event) => event.kind === 'post-scan')
  const follows = (after: string, before: string) =>
    packet.timeline.order({ event: before, edge: 'end' }, { event: after, edge: 'start' }).answer === 'certain'
  return packet.documents.filter((document, index) => {
    if (document.kind !== 'post-scan') return false
    const event = events.find((candidate) => candidate.document === index)
    if (event === undefined) return true
    return !events.some((other) => other.id !== event.id && follows(other.id, event.id) && !follows(event.id, other.id))
  })
}

/**
 * True when the file was read in full and speaks of codes, so that a code it does not list is not there. A scan that
 * lists neither modules nor codes says nothing unless it counts none, and one that counts more than it lists was missed
 * in part.
 */
export function codesWereRead(document: DocumentFacts): boolean {
  const { codes = [], modules = [], statedCodeCount } = document
  if (!wasRead(document) || (statedCodeCount ?? 0) > codes.length) return false
  return codes.length > 0 || modules.length > 0 || statedCodeCount === 0
}

/** Part of the vehicle that the code's module serves; null where neither the code nor the module list tells. */
export function systemOf(document: DocumentFacts, code: CodeReading): VehicleSystem | null {
  const named = (document.modules ?? []).find((module) => module.name === code.module)
  return code.system ?? named?.system ?? null
}

/** The values that every outcome about a code carries. */
export function describeCode(document: DocumentFacts, code: CodeReading): Record<string, string | null> {
  return {
    file: document.file,
    code: formatTroubleCode(code),
    module: code.module ?? 'a module that is not named',
    system: systemOf(document, code),
    status: code.status,
    text: code.text ?? '',
    meaning: code.failureType === null ? null : failureTypeMeaning(code.failureType),
    said: code.text ? ` ("${code.text}")` : '',
  }
}

/** What a check makes of one code or module of a post-scan: a message of its own, or null for "nothing to say". */
export interface PostScanJudge {
  code(code: CodeReading, document: DocumentFacts): string | null
  module?(module: ModuleReading, document: DocumentFacts): string | null
}

/**
 * One unmet outcome for each code or module of the last post-scans that the judge names; for a scan without any, `none`
 * when it was read well enough to say so, else `not-read`; `no-post-scan` where there is none.
 */
export function judgePostScans(packet: Packet, judge: PostScanJudge): Outcome[] {
  const scans = lastPostScans(packet)
  if (scans.length === 0) return [{ state: 'undecided', message: 'no-post-scan', data: {}, evidence: [] }]
  return scans.flatMap((document): Outcome[] => {
    const unmet = [...judgeCodes(document, judge), ...judgeModules(document, judge)]
    if (unmet.length > 0) return unmet
    const evidence = findPlaces(document, 'codes')
    const data = {
      file: document.file,
      codes: (document.codes ?? []).length,
      modules: (document.modules ?? []).length,
      problems: document.problems.map((problem) => problem.code),
    }
    if (codesWereRead(document)) return [{ state: 'met', message: 'none', data, evidence }]
    return [{ state: 'undecided', message: 'not-read', data, evidence }]
  })
}

function judgeCodes(document: DocumentFacts, judge: PostScanJudge): Outcome[] {
  return (document.codes ?? []).flatMap((code, index): Outcome[] => {
    const message = judge.code(code, document)
    if (message === null) return []
    const evidence = findPlaces(document, `codes.${index}`, formatTroubleCode(code))
    return [{ state: 'unmet', message, data: describeCode(document, code), evidence }]
  })
}

function judgeModules(document: DocumentFacts, judge: PostScanJudge): Outcome[] {
  return (document.modules ?? []).flatMap((module, index): Outcome[] => {
    const message = judge.module?.(module, document) ?? null
    if (message === null) return []
    const data = { file: document.file, module: module.name, system: module.system ?? null, state: module.state }
    return [{ state: 'unmet', message, data, evidence: findPlaces(document, `modules.${index}`, module.name) }]
  })
}

/** The declarations of the outcomes that `judgePostScans` gives by itself; `subject` is what was looked for. */
export function commonMessages(subject: string) {
  return {
    none: { state: 'met', text: `{file} shows no ${subject}.` },
    'not-read': { state: 'undecided', text: `{file} was not read well enough to say that it shows no ${subject}.` },
    'no-post-scan': { state: 'undecided', text: 'The packet holds no post-scan.' },
  } as const
}
