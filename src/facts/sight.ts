/** What a person sees of a file's text: what the page shows, against what the file holds. */
import type { ComparedLayer, Place, Reading, UnseenWord } from './reading.ts'

export interface Sight {
  /** Words that are seen or stand for a picture that is. */
  words: number
  /** Words that nobody sees, with their pages. */
  unseen: readonly (UnseenWord & { page: number })[]
  /** Pages where words stand for a picture, how many do, and how they compare with it, where that was looked at. */
  layers: readonly { page: number; words: number; compared?: ComparedLayer }[]
  /** Words of which parts are set in different families of fonts, which are named in order. */
  mixed: readonly (Place & { families: readonly string[] })[]
}

/** Of a file with a text layer; null for any other. */
export function sightOf({ media, pages }: Reading): Sight | null {
  if (media !== 'application/pdf' || pages.length === 0) return null
  return {
    words: pages.reduce((sum, { words }) => sum + words.length, 0),
    unseen: pages.flatMap(({ number, unseen = [] }) => unseen.map((word) => ({ ...word, page: number }))),
    layers: pages.flatMap(({ number, words, compared }) => {
      const layer = words.filter(({ layer }) => layer === true).length
      return layer > 0 ? [{ page: number, words: layer, ...(compared ? { compared } : {}) }] : []
    }),
    mixed: pages.flatMap(({ number: page, words }) =>
      words.flatMap(({ text, box, families, layer }) =>
        families === undefined || layer ? [] : [{ page, box, text, families }],
      ),
    ),
  }
}
