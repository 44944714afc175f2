/**
 * Whether two scans mean the same module.
 *
 * Instruments spell one module in several ways: "ABS", "Anti-lock brakes (ABS)", "ABS Control Module". Case, punctuation
 * and the words that any module may carry are left aside; an abbreviation that both names hold makes them one.
 */
import type { ModuleReading } from '../../facts/document.ts'

const filler: ReadonlySet<string> = new Set([
  'module',
  'control',
  'controller',
  'unit',
  'system',
  'ecu',
  'the',
  'of',
  'and',
])

/** Lower case, words in order, without punctuation and filler; the name as it stands when nothing else is left. */
export function simplifyModuleName(name: string): string {
  const words = name.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? []
  const kept = words.filter((word) => !filler.has(word))
  return (kept.length > 0 ? kept : words).join(' ')
}

/** Abbreviations that stand for the whole name: all of it, in brackets, or before or after a dash or colon. */
function listAbbreviations(name: string): string[] {
  const found = name.matchAll(/(?:^|[([]|[-–:/]\s)\s*([A-Z][A-Z0-9]{1,5})\s*(?=$|[)\]]|\s[-–:/]|:)/g)
  return [...found].flatMap((match) => (match[1] === undefined ? [] : [match[1]]))
}

/** True when the names say the same, or both were told to be of one sensor at one position. */
export function isSameModule(a: ModuleReading, b: ModuleReading): boolean {
  if (simplifyModuleName(a.name) === simplifyModuleName(b.name)) return true
  const abbreviations = listAbbreviations(a.name)
  if (listAbbreviations(b.name).some((abbreviation) => abbreviations.includes(abbreviation))) return true
  if (a.sensor === undefined || a.sensor === 'other' || a.sensor !== b.sensor) return false
  return (a.position ?? null) === (b.position ?? null)
}
