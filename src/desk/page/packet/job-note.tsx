import type { PacketView } from '../../contract.ts'
import { useJobs } from '../api/queries.ts'
import { describeJob, hasEnded, progressOf } from '../logic/job-words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'

/** How far work on this packet is, while there is some, and what became of it where it failed. */
export function JobNote({ packet: { job, row } }: { packet: PacketView }) {
  const { data: jobs } = useJobs()
  const newest = jobs.findLast((one) => one.accession === row.accession) ?? job
  if (newest === null) return null
  if (newest.problem !== null) return <ProblemNote problem={newest.problem} small />
  if (hasEnded(newest)) return null
  return (
    <div className="job-note" role="status">
      <progress value={progressOf(newest)} aria-label="How far the work is" />
      <span>{describeJob(newest)}</span>
    </div>
  )
}
