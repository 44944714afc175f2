/** Words that were seen in a picture and cannot be read surely: they hold their place, and no fact is made of them. */

/** Stands for a word that is too doubtful to use (U+25AF, white vertical rectangle). No file has it for a word of its own. */
export const illegible = '▯'

/** True for a text that some of its words are missing of. */
export const isIllegible = (text: string): boolean => text.includes(illegible)
