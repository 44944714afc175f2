/** How PDF files of a packet came to be what they are. */
export { listActive } from './active.ts'
export { compareParts, type FactPlaces, type HistoryPart, listParts, type StateRead } from './history.ts'
export { listMarks } from './marks.ts'
