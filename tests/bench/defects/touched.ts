/**
 * What a defect touches, measured on the draft itself: the papers that it changes, adds or takes away, and those that it is
 * to be found in. Two defects are planted together only where neither touches what the other does, and neither takes a
 * paper away, as the other may have to be seen by it.
 */
import type { AnyPaper, Draft } from './draft.ts'

const packetFile = 'packet.yaml'

/** Stands for the whole packet: a paper is gone, damaged or has lost its date. */
export const everything = '*'

const sameText = (one: unknown, other: unknown): boolean => JSON.stringify(one) === JSON.stringify(other)

export function touchedFiles(before: Draft, after: Draft, placed: readonly string[]): Set<string> {
  const touched = new Set(placed)
  const papers = new Map<string, AnyPaper>(after.papers.map((paper) => [paper.file, paper]))
  for (const paper of before.papers) {
    const own = papers.get(paper.file)
    if (own === undefined || own.dating !== paper.dating) touched.add(everything)
    else if (!sameText(own, paper)) touched.add(paper.file)
  }
  if (!sameText(before.declared, after.declared)) touched.add(packetFile)
  if (after.damage.length > before.damage.length) touched.add(everything)
  for (const { file } of after.extra.slice(before.extra.length)) touched.add(file)
  return touched
}

/** Does one of them touch what another touches? */
export function disturb(all: readonly ReadonlySet<string>[]): boolean {
  const seen = new Set<string>()
  for (const touched of all) {
    if (all.length > 1 && touched.has(everything)) return true
    for (const file of touched) if (seen.has(file)) return true
    for (const file of touched) seen.add(file)
  }
  return false
}
