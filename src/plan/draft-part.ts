/** One key of a drafted packet.yaml. */
import type { Declaration } from '../packet/packet.ts'

export type DraftKey = Exclude<keyof Declaration, 'places'>

/** One key of the file. Questions and notes are sentences; a null within a suggestion is to be filled in. */
export interface DraftPart {
  key: DraftKey
  /** What packet.yaml declares already. */
  declared?: unknown
  questions: string[]
  notes: string[]
  suggestion?: unknown
}
