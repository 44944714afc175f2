/** Are values of two ends of one file the same to whoever draws them? References are followed; positions do not count. */
import type { PdfFile } from './file.ts'
import { pageObjects } from './form.ts'
import { type PdfDictionary, type PdfValue, SyntaxFault } from './syntax.ts'

const mostSteps = 2_000_000

export interface Ends {
  before: PdfFile
  after: PdfFile
}

/**
 * Compares values of the two ends. One comparer remembers what it found the same, so that shared resources are walked
 * once. It throws SyntaxFault for values without measure.
 */
export function makeComparer({ before, after }: Ends) {
  const pages = new Set([...pageObjects(before), ...pageObjects(after)])
  const settled = new Map<string, boolean>()
  let steps = 0

  const same = (one: PdfValue | undefined, other: PdfValue | undefined): boolean => {
    if (++steps > mostSteps)
      throw new SyntaxFault(after.bytes.length, 'its objects refer to one another without measure')
    if (one?.kind === 'reference' || other?.kind === 'reference') return sameReferences(one, other)
    if (one === undefined || other === undefined) return isNull(one) && isNull(other)
    switch (one.kind) {
      case 'null':
        return isNull(other)
      case 'array':
        return (
          other.kind === 'array' &&
          one.items.length === other.items.length &&
          one.items.every((item, index) => same(item, other.items[index]))
        )
      case 'dictionary':
        return other.kind === 'dictionary' && sameDictionaries(one, other)
      case 'stream':
        return (
          other.kind === 'stream' &&
          Buffer.compare(one.data, other.data) === 0 &&
          sameDictionaries(one.dictionary, other.dictionary)
        )
      case 'string':
        return other.kind === 'string' && Buffer.compare(one.value, other.value) === 0
      default:
        return other.kind === one.kind && (other as { value: unknown }).value === one.value
    }
  }

  const isNull = (value: PdfValue | undefined): boolean => value === undefined || value.kind === 'null'

  const sameDictionaries = (one: PdfDictionary, other: PdfDictionary): boolean => {
    const keys = new Set([...one.entries.keys(), ...other.entries.keys()])
    return [...keys].every((key) => same(one.entries.get(key), other.entries.get(key)))
  }

  /**
   * Pages that links and the like lead to are compared for themselves: here it counts only that they are the same ones.
   * A pair that is being compared already is taken to be the same: a difference shows elsewhere on the circle.
   */
  const sameReferences = (one: PdfValue | undefined, other: PdfValue | undefined): boolean => {
    if (one?.kind === 'reference' && pages.has(one.number))
      return other?.kind === 'reference' && other.number === one.number
    const key = `${one?.kind === 'reference' ? one.number : '-'} ${other?.kind === 'reference' ? other.number : '-'}`
    const known = settled.get(key)
    if (known !== undefined) return known
    settled.set(key, true)
    const answer = same(before.resolve(one) ?? undefined, after.resolve(other) ?? undefined)
    settled.set(key, answer)
    return answer
  }

  return { same, sameDictionaries }
}

export type Comparer = ReturnType<typeof makeComparer>
