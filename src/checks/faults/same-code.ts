/** Whether two scans show the same code: code, failure type and module agree, with the benefit of the doubt where one is silent. */
import type { CodeReading, DocumentFacts } from '../../facts/document.ts'

/**
 * True when the scan lists the code. A failure type that one report does not print, and a module that the scan names
 * differently or not at all, are given the benefit of the doubt.
 */
export function showsCode(scan: DocumentFacts, code: CodeReading): boolean {
  const known = namesOf(scan)
  return (scan.codes ?? []).some((other) => {
    if (other.code !== code.code) return false
    const typed = other.failureType === null || code.failureType === null || other.failureType === code.failureType
    const named = code.module !== undefined && other.module !== undefined && known.has(simplifyName(code.module))
    return typed && (!named || simplifyName(other.module) === simplifyName(code.module))
  })
}

/** True when the code's module is listed as not answering. */
export function wasSilent(scan: DocumentFacts, code: CodeReading): boolean {
  return (scan.modules ?? []).some(
    ({ name, state }) =>
      state === 'no-response' && code.module !== undefined && simplifyName(name) === simplifyName(code.module),
  )
}

function namesOf(scan: DocumentFacts): Set<string> {
  const names = [...(scan.modules ?? []).map((module) => module.name), ...(scan.codes ?? []).map((code) => code.module)]
  return new Set(names.map(simplifyName))
}

/** Module names without case, punctuation, order of words and the words that instruments add to any module. */
export function simplifyName(name: string | undefined): string {
  const words = (name ?? '').toLowerCase().match(/[a-z0-9]+/g) ?? []
  return words
    .filter((word) => !['module', 'control', 'unit', 'system', 'ecu', 'sensor'].includes(word))
    .sort()
    .join(' ')
}
