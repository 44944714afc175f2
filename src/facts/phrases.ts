/**
 * Words and phrases compared as people read them: without regard to case, punctuation, accents and spelling variants.
 * A token is a run of letters and digits, or one of the signs `%`, `#` (read as "no"), `±`, `+/-` and tick or cross marks.
 */

export type Aliases = ReadonlyMap<string, readonly string[]>

const CHUNK = /[\p{L}\p{N}]+|%|±|[✓✔√✗✘✕×☑☒●○]|#/gu

const PLAIN = /^[\x20-\x7e\s]*$/

/** Lower case, without apostrophes and accents: "Prüfer" and "prufer" are one word. */
export function fold(text: string): string {
  if (PLAIN.test(text)) return text.replace(/['`]/g, '').toLowerCase()
  const bare = text
    .replace(/['’`´]/g, '')
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
  return bare.toLowerCase().replaceAll('ß', 'ss')
}

/** The tokens of a text: lower case, apostrophes dropped, spelling variants brought to one form. */
export function tokensOf(text: string, aliases: Aliases): string[] {
  const tokens: string[] = []
  for (const raw of fold(text).split(/\s+/)) {
    const chunk = raw.replace(/^[^\p{L}\p{N}%±#✓✔√✗✘✕×☑☒●○+&]+|[^\p{L}\p{N}%#✓✔√✗✘✕×☑☒●○&]+$/gu, '')
    const whole = aliases.get(chunk) ?? aliases.get(raw)
    if (whole) {
      tokens.push(...whole)
      continue
    }
    for (const part of chunk.match(CHUNK) ?? []) {
      const token = part === '#' ? 'no' : part
      const alias = aliases.get(token)
      if (alias) tokens.push(...alias)
      else tokens.push(token)
    }
  }
  return tokens
}

export interface PhraseEntry<Key extends string = string> {
  key: Key
  /** Position in its list: earlier phrases say it more plainly. */
  rank: number
  length: number
}

interface Node<Key extends string> {
  next: Map<string, Node<Key>>
  entries: PhraseEntry<Key>[]
}

/** A set of phrases that can be found in token sequences. */
export interface Lexicon<Key extends string = string> {
  /** The longest phrase that starts at `from`; `entries` are all keys that list it. */
  longestAt(tokens: readonly string[], from: number): { length: number; entries: readonly PhraseEntry<Key>[] } | null
  /** All phrases that start at `from`, shortest first. */
  allAt(tokens: readonly string[], from: number): { length: number; entries: readonly PhraseEntry<Key>[] }[]
  /** The keys whose phrase is the whole sequence. */
  whole(tokens: readonly string[]): readonly PhraseEntry<Key>[]
  /** Every phrase found anywhere, longest first; phrases inside a longer one are left out. */
  within(tokens: readonly string[]): { from: number; length: number; entries: readonly PhraseEntry<Key>[] }[]
}

/** Builds a lexicon out of lists of phrases by key. */
export function makeLexicon<Key extends string>(
  lists: Readonly<Record<Key, readonly (string | number)[]>>,
  aliases: Aliases,
): Lexicon<Key> {
  const root: Node<Key> = { next: new Map(), entries: [] }
  for (const [key, phrases] of Object.entries(lists) as [Key, readonly (string | number)[]][]) {
    phrases.forEach((phrase, rank) => {
      const tokens = tokensOf(String(phrase), aliases)
      if (tokens.length === 0) return
      let node = root
      for (const token of tokens) {
        let next = node.next.get(token)
        if (!next) {
          next = { next: new Map(), entries: [] }
          node.next.set(token, next)
        }
        node = next
      }
      if (!node.entries.some((entry) => entry.key === key)) node.entries.push({ key, rank, length: tokens.length })
    })
  }
  const allAt = (tokens: readonly string[], from: number) => {
    const found: { length: number; entries: readonly PhraseEntry<Key>[] }[] = []
    let node: Node<Key> | undefined = root
    for (let i = from; i < tokens.length && node; i++) {
      node = node.next.get(tokens[i] ?? '')
      if (node && node.entries.length > 0) found.push({ length: i - from + 1, entries: node.entries })
    }
    return found
  }
  const longestAt = (tokens: readonly string[], from: number) => allAt(tokens, from).at(-1) ?? null
  return {
    allAt,
    longestAt,
    whole(tokens) {
      const found = longestAt(tokens, 0)
      return found && found.length === tokens.length ? found.entries : []
    },
    within(tokens) {
      const found: { from: number; length: number; entries: readonly PhraseEntry<Key>[] }[] = []
      for (let from = 0; from < tokens.length; ) {
        const hit = longestAt(tokens, from)
        if (hit) {
          found.push({ from, ...hit })
          from += hit.length
        } else from++
      }
      return found.sort((a, b) => b.length - a.length || a.from - b.from)
    },
  }
}
