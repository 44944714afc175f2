/** The units of measured values, in one writing each. */

const UNITS: readonly [RegExp, string][] = [
  [/^(?:°|º|deg\.?|degs?|degrees?|grad|grados?|degrés?)$/i, 'deg'],
  [/^(?:px|pixels?)$/i, 'px'],
  [/^mm$/i, 'mm'],
  [/^(?:′|')$/, 'arcmin'],
  [/^(?:″|")$/, 'in'],
  [/^v(?:dc|olts?)?$/i, 'V'],
  [/^in(?:ch(?:es)?|\.)?$/i, 'in'],
]

/** A unit in the writing that facts use; null for none. */
export function unitName(unit: string | null | undefined): string | null {
  if (unit === null || unit === undefined || unit === '') return null
  // A badge may stand so near that it shares the cell: "mm PASS".
  const bare = /^\S+(?=\s+[A-Z✓✗]+$)/.exec(unit)?.[0] ?? unit
  return UNITS.find(([form]) => form.test(bare))?.[1] ?? bare.replace(/\.$/, '')
}

/** "10.6 mi" beside "25 to 65 mph": limits in another unit are those of something else, or not comparable as they stand. */
export function areOfOneUnit(one: string | null, other: string | null): boolean {
  if (one === null || other === null) return true
  return unitName(one)?.toLowerCase() === unitName(other)?.toLowerCase()
}
