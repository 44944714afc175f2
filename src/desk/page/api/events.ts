/** Listens to what happens at the desk, and has what changed asked for anew. */
import { type QueryClient, useQueryClient } from '@tanstack/react-query'
import { useCallback, useEffect, useState } from 'react'
import type { DeskEvent, JobView } from '../../contract.ts'
import { hasEnded } from '../logic/job-words.ts'
import { keys } from './queries.ts'

export type Connection = 'open' | 'lost'

/** Jobs that ended are remembered for the tray; so many are enough. */
const mostJobs = 60

/** `reconnect` tries at once what the browser would try again by and by. */
export function useDeskEvents(isWanted: boolean): { connection: Connection; reconnect: () => void } {
  const client = useQueryClient()
  const [connection, setConnection] = useState<Connection>('open')
  const [attempt, setAttempt] = useState(0)
  const reconnect = useCallback(() => setAttempt((last) => last + 1), [])
  useEffect(() => {
    if (!isWanted) return
    const source = new EventSource('/api/events')
    let timer: ReturnType<typeof setTimeout> | undefined
    let wasLost = attempt > 0
    source.onopen = () => {
      setConnection('open')
      // What happened meanwhile, nobody told us.
      if (wasLost) void client.invalidateQueries({ predicate: ({ queryKey }) => queryKey[0] !== 'session' })
      wasLost = false
    }
    source.onerror = () => {
      wasLost = true
      setConnection('lost')
      if (source.readyState === EventSource.CLOSED) timer = setTimeout(reconnect, 10_000)
    }
    const queueSoon = makeSoon(() => client.invalidateQueries({ queryKey: keys.queue }))
    source.addEventListener('packet', ({ data }) => {
      const { accession } = JSON.parse(data) as Extract<DeskEvent, { event: 'packet' }>['data']
      void client.invalidateQueries({ queryKey: keys.packet(accession) })
      queueSoon()
    })
    source.addEventListener('job', ({ data }) => noteJob(client, JSON.parse(data) as JobView, queueSoon))
    return () => {
      clearTimeout(timer)
      source.close()
    }
  }, [client, isWanted, attempt, reconnect])
  return { connection, reconnect }
}

/** Also for what a request answers with. */
export function noteJob(client: QueryClient, job: JobView, queueSoon: () => void = () => {}): void {
  client.setQueryData<JobView[]>(keys.jobs, (jobs = []) => {
    const others = jobs.filter((one) => one.job !== job.job)
    return [...others, job].slice(-mostJobs)
  })
  if (!hasEnded(job)) return
  if (job.accession !== null) void client.invalidateQueries({ queryKey: keys.packet(job.accession) })
  queueSoon()
}

/** Many events in a row ask once. */
function makeSoon(act: () => unknown): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined
  return () => {
    if (timer !== undefined) return
    timer = setTimeout(() => {
      timer = undefined
      act()
    }, 400)
  }
}
