/** What files state, each value once with the files that state it. */
import type { DocumentFacts } from '../facts/document.ts'

export interface Stated<V> {
  value: V
  files: string[]
}

/** In the order of first mention. Text that differs in case or spaces alone is one value, as first written. */
export function gather<V extends string | number>(
  documents: readonly DocumentFacts[],
  pick: (document: DocumentFacts) => V | readonly V[] | undefined,
): Stated<V>[] {
  const found = new Map<string, Stated<V>>()
  for (const document of documents)
    for (const value of [pick(document) ?? []].flat() as V[]) {
      const key = String(value).toLowerCase().replaceAll(/\s+/g, ' ').trim()
      const known = found.get(key)
      if (known === undefined) found.set(key, { value, files: [document.file] })
      else if (!known.files.includes(document.file)) known.files.push(document.file)
    }
  return [...found.values()]
}

/** "A (in one.pdf) or B (in two.pdf, three.pdf)". */
export function listStated(stated: readonly Stated<string | number>[]): string {
  return stated.map(({ value, files }) => `${value} (in ${listFiles(files)})`).join(' or ')
}

export function listFiles(files: readonly string[]): string {
  return files.join(', ')
}

/** "Read in one.pdf, two.pdf." */
export function readIn(files: readonly string[]): string {
  return `Read in ${listFiles(files)}.`
}
