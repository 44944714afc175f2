import { useQueryClient } from '@tanstack/react-query'
import { useEffect } from 'react'
import { Link } from 'wouter'
import type { JobView } from '../../contract.ts'
import { noteJob } from '../api/events.ts'
import { useJobs } from '../api/queries.ts'
import { askJson, problemOf } from '../api/request.ts'
import type { Sending } from '../api/uploads.ts'
import { bytesText, count } from '../logic/amounts.ts'
import { describeJob, hasEnded, progressOf } from '../logic/job-words.ts'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Verdict } from '../parts/verdict.tsx'
import { useHanding } from './uploads-context.ts'

/** One packet on its way: sent, received, read, weighed; then its verdict and where it is. */
export function SendingLine({ sending }: { sending: Sending }) {
  const { uploads } = useHanding()
  const job = useNewest(sending.job)
  const { key, name, stage } = sending
  const problem = sending.problem ?? job?.problem ?? null
  const isDone = job?.stage === 'done'
  const isOver = isDone || problem !== null
  return (
    <li>
      <p className="sending-name">
        {job?.accession ? <Link href={`/packets/${encodeURIComponent(job.accession)}`}>{name}</Link> : name}
        {job?.verdict ? <Verdict verdict={job.verdict} /> : null}
      </p>
      <div>
        {isOver ? null : <progress value={progress(sending, job)} aria-label={`How far ${name} is`} />}
        {problem === null ? (
          <p className="quiet" role="status">
            {describe(sending, job)}
          </p>
        ) : (
          <ProblemNote problem={problem} retry={() => uploads.retry(key)} small />
        )}
        {problem !== null && isIncomplete(problem.type, problem.title) ? (
          <button type="button" onClick={() => uploads.retry(key, { acceptIncomplete: true })}>
            Hand it over as it is, and note what is lacking
          </button>
        ) : null}
      </div>
      <button type="button" className="plain-button" onClick={() => uploads.drop(key)}>
        {isOver || stage === 'sent' ? 'Take off this list' : 'Stop'}
      </button>
    </li>
  )
}

const isIncomplete = (type: string, title: string): boolean => /incomplete/.test(type) || /cannot be kept/.test(title)

/** Sending is the first half. */
function progress({ bytes, bytesSent }: Sending, job: JobView | null): number {
  return job === null ? (0.5 * bytesSent) / Math.max(1, bytes) : 0.5 + 0.5 * progressOf(job)
}

function describe({ stage, files, filesSent, bytes, bytesSent }: Sending, job: JobView | null): string {
  if (job !== null) return describeJob(job)
  if (stage === 'waiting') return 'waiting for those before it'
  return `sending: ${filesSent} of ${count(files, 'file')}, ${bytesText(bytesSent)} of ${bytesText(bytes)}`
}

/** As events tell it; asked for by and by as well, for events can be lost. */
function useNewest(job: JobView | null): JobView | null {
  const client = useQueryClient()
  const { data: jobs } = useJobs()
  const newest = jobs.find((one) => one.job === job?.job) ?? job
  const isGoing = newest !== null && !hasEnded(newest)
  const id = newest?.job
  useEffect(() => {
    if (!isGoing || id === undefined) return
    const timer = setInterval(() => {
      askJson<JobView>(`/api/jobs/${id}`).then(
        (view) => noteJob(client, view),
        (error: unknown) => {
          // The desk was started anew: what it was doing, it does again, and tells by itself.
          const problem = problemOf(error)
          if (problem.status === 404 && newest !== null) noteJob(client, { ...newest, stage: 'failed', problem })
        },
      )
    }, 5000)
    return () => clearInterval(timer)
  }, [client, id, isGoing, newest])
  return newest
}
