/** Whether words in pictures are read, for every command that reads packets. */
import { type ReadingPool, startReading } from '../src/io/reading-process.ts'
import { openWordsCache } from '../src/io/words-cache.ts'
import type { OptionDeclaration } from './arguments.ts'

export interface PictureOptions {
  'no-ocr'?: boolean
}

export const pictureOptions: Record<string, OptionDeclaration> = {
  'no-ocr': {
    type: 'boolean',
    help: 'Do not read the words in pictures: scans without text then count as not read. Faster.',
  },
}

/** Starts the reading processes as the options say; words that were read before come from this user's cache. */
export function openReading(options: PictureOptions, processes = 2): ReadingPool {
  const pictureWords = options['no-ocr'] !== true
  return startReading({ processes }, { pictureWords, cache: pictureWords ? openWordsCache() : null })
}
