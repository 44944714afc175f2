/** Holds words that come from another process, or from a file, to their shape: neither is to be trusted. */
import type { PageWords } from '../facts/look.ts'
import type { Box, Word } from '../facts/reading.ts'

/** More words stand on no page. */
const mostWords = 20_000

export function arePageWords(value: unknown): value is PageWords {
  if (typeof value !== 'object' || value === null || !('words' in value) || !('confidence' in value)) return false
  const { words, confidence } = value
  return isPercent(confidence) && Array.isArray(words) && words.length <= mostWords && words.every(isWord)
}

export function isBox(value: unknown): value is Box {
  return Array.isArray(value) && value.length === 4 && value.every(Number.isFinite)
}

function isWord(value: unknown): value is Word {
  if (typeof value !== 'object' || value === null) return false
  const { text, box, shown, size, confidence, readAs, ...rest } = value as Record<string, unknown>
  return (
    Object.keys(rest).length === 0 &&
    typeof text === 'string' &&
    /^\S{1,200}$/u.test(text) &&
    isBox(box) &&
    isBox(shown) &&
    (readAs === undefined || typeof readAs === 'string') &&
    Number.isFinite(size) &&
    isPercent(confidence)
  )
}

const isPercent = (value: unknown): value is number => typeof value === 'number' && value >= 0 && value <= 100
