/** Words of a rulebook looked for in words of a packet. */

/** Lower case, with single spaces for whatever is neither letter nor digit, and one at either end. */
function bare(text: string): string {
  return ` ${text
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, ' ')
    .trim()} `
}

/** The phrases that stand in the text as whole words, whatever case and punctuation. */
export function findPhrases(text: string, phrases: readonly string[]): string[] {
  const words = bare(text)
  return phrases.filter((phrase) => bare(phrase) !== '  ' && words.includes(bare(phrase)))
}

/** Does one of the phrases stand in the text? */
export function mentions(text: string, phrases: readonly string[]): boolean {
  return findPhrases(text, phrases).length > 0
}
