/** How far work on a packet has come, in words. */
import type { JobView } from '../../contract.ts'
import { count } from './amounts.ts'

const stages: Record<JobView['stage'], string> = {
  waiting: 'waiting for its turn',
  receiving: 'being received',
  reading: 'being read',
  judging: 'being weighed',
  keeping: 'its report is being kept',
  done: 'done',
  failed: 'not done',
}

/** "being read: 3 of 9 files, scan after.pdf" */
export function describeJob({ stage, done, of, file, again, what }: JobView): string {
  if (stage === 'done' && again) return 'was here already: nothing was kept twice'
  if (stage === 'done') return what === 'check' ? 'checked' : 'received and checked'
  if (stage !== 'reading' || of === 0) return stages[stage]
  return `${stages[stage]}: ${done} of ${count(of, 'file')}${file === null ? '' : `, ${file}`}`
}

/** Of the whole work, 0 to 1. */
export function progressOf({ stage, done, of }: JobView): number {
  if (stage === 'reading') return 0.1 + (of === 0 ? 0 : (0.75 * done) / of)
  return { waiting: 0, receiving: 0.05, judging: 0.88, keeping: 0.95, done: 1, failed: 1 }[stage]
}

export const hasEnded = ({ stage }: JobView): boolean => stage === 'done' || stage === 'failed'
