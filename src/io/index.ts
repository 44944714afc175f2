/** This machine, as the review needs it: its files, reading processes, clock, and the data that ship with the program. */
export { writeAtomically } from './atomic-write.ts'
export { today } from './clock.ts'
export { type DrawingPool, startDrawing } from './drawing-process.ts'
export { fileSystem } from './files.ts'
export {
  defaultReadingLimits,
  type ReadingLimits,
  type ReadingPool,
  type ReadingWays,
  startReading,
} from './reading-process.ts'
export { type Desk, desks, readReportFonts, readShippedRulebook, readShippedVocabulary } from './shipped.ts'
export { openWordsCache, type WordsCache } from './words-cache.ts'
