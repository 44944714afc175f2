/** Work that takes a while: receiving and checking packets, a few at a time, each step told to whoever listens. */
import { randomUUID } from 'node:crypto'
import { type archives, checkKept, type Rulebook, receiveTaken, storedPacket, takePacket } from '../../index.ts'
import type { JobView } from '../contract.ts'
import { follow } from './cases.ts'
import type { Desk } from './desk.ts'
import { type Person, seesAll } from './people.ts'
import { ProblemError, problemOf } from './problem.ts'

/** A packet that was handed over, its files objects of the archive already. */
export interface HandedOver {
  name: string
  form: 'folder' | 'file'
  files: readonly { path: string; sha256: string; bytes: number }[]
  receipt: archives.Receipt
  acceptIncomplete: boolean
}

interface Job {
  view: JobView
  owner: Person
  run(tell: (change: Partial<JobView>) => void): Promise<void>
}

export interface Jobs {
  receive(person: Person, packet: HandedOver, rulebook: Rulebook): JobView
  /** Checks a packet that is kept; the work that is going on on it already where there is some. */
  check(person: Person, accession: string, name: string, rulebook: Rulebook): JobView
  /** Null for a job that is not known, or of somebody else whom `person` may not see. */
  find(person: Person, job: string): JobView | null
  about(accession: string): JobView | null
  /** Resolves when nothing is going on or waiting. */
  settled(): Promise<void>
}

/** Jobs at work at once, and how many that ended are remembered. */
const [mostAtOnce, mostRemembered] = [2, 500]

/** `log`: told of faults that only the program's makers can mend. */
export function startJobs(desk: Desk, log: (error: unknown) => void): Jobs {
  const jobs = new Map<string, Job>()
  const waiting: Job[] = []
  let atWork = 0
  let idle: (() => void)[] = []

  function add(owner: Person, start: Pick<JobView, 'what' | 'name' | 'accession'>, run: Job['run']): JobView {
    const view: JobView = {
      job: randomUUID(),
      stage: 'waiting',
      done: 0,
      of: 0,
      file: null,
      verdict: null,
      again: false,
      problem: null,
      ...start,
    }
    const job: Job = { view, owner, run }
    jobs.set(view.job, job)
    waiting.push(job)
    forget()
    next()
    return job.view
  }

  /** Those that ended longest ago go first. */
  function forget(): void {
    for (const [id, { view }] of jobs) {
      if (jobs.size <= mostRemembered) return
      if (hasEnded(view)) jobs.delete(id)
    }
  }

  function next(): void {
    if (atWork >= mostAtOnce) return
    const job = waiting.shift()
    if (job === undefined) {
      if (atWork > 0) return
      for (const tell of idle) tell()
      idle = []
      return
    }
    atWork++
    void work(job).finally(() => {
      atWork--
      next()
    })
    next()
  }

  async function work(job: Job): Promise<void> {
    const tell = (change: Partial<JobView>) => {
      job.view = { ...job.view, ...change }
      desk.events.tell({ event: 'job', data: job.view, owner: job.owner.name })
    }
    try {
      await job.run(tell)
      await follow(desk)
      tell({ stage: 'done' })
    } catch (error) {
      const problem = problemOf(error)
      if (problem.status === 500) log(error)
      await follow(desk).catch(log)
      tell({ stage: 'failed', problem })
    }
  }

  const check = async (accession: string, by: Person, rulebook: Rulebook, tell: (change: Partial<JobView>) => void) => {
    tell({ stage: 'reading', accession })
    const { outside, vocabulary, program } = desk
    const report = await checkKept(desk.archive, { by: { name: by.name } }, accession, {
      read: outside.read,
      vocabulary,
      rulebook,
      reviewed: outside.today(),
      program,
      progress: (done, of, file) => tell({ stage: done === of ? 'judging' : 'reading', done, of, file }),
    })
    tell({ stage: 'keeping', verdict: report.verdict })
  }

  return {
    receive: (person, packet, rulebook) =>
      add(person, { what: 'receive', name: packet.name, accession: null }, async (tell) => {
        tell({ stage: 'receiving' })
        const { accession, again } = await receive(desk, person, packet)
        tell({ accession, again })
        if (!again) await follow(desk)
        const earlier = again ? await findVerdict(desk, accession, rulebook) : null
        if (earlier !== null) return tell({ verdict: earlier })
        await check(accession, person, rulebook, tell)
      }),
    check(person, accession, name, rulebook) {
      const going = about(accession)
      if (going !== null) return going
      return add(person, { what: 'check', name, accession }, (tell) => check(accession, person, rulebook, tell))
    },
    find(person, id) {
      const job = jobs.get(id)
      return job !== undefined && maySee(person, job) ? job.view : null
    },
    about,
    settled: () =>
      atWork === 0 && waiting.length === 0 ? Promise.resolve() : new Promise((resolve) => idle.push(resolve)),
  }

  function about(accession: string): JobView | null {
    for (const { view } of jobs.values()) if (view.accession === accession && !hasEnded(view)) return view
    return null
  }
}

export const hasEnded = ({ stage }: JobView): boolean => stage === 'done' || stage === 'failed'

const maySee = (person: Person, { owner }: Job): boolean => seesAll(person) || owner.name === person.name

async function receive({ archive }: Desk, person: Person, packet: HandedOver): Promise<archives.ReceivedPacket> {
  const { objects } = archive.outside.storage
  const taken = await takePacket(packet.name, storedPacket(packet, objects), objects)
  const { notKept, left } = taken.packet
  if (notKept > 0 && !packet.acceptIncomplete)
    throw new ProblemError(422, `${notKept} of what stands in ${packet.name} cannot be kept`, {
      detail: left.map(({ path, reason }) => `${path}: ${reason}`).join('\n'),
      mend: 'Mend it, or hand it over again and accept that it is incomplete: the archive then notes what is lacking.',
    })
  return receiveTaken(archive, { by: { name: person.name } }, taken, packet.receipt)
}

/** What the last check by the same rulebook said; null where there was none. */
async function findVerdict({ archive }: Desk, accession: string, { sha256 }: Rulebook): Promise<JobView['verdict']> {
  const found = await archive.db
    .selectFrom('reports')
    .select('verdict')
    .where('accession', '=', accession)
    .where('rulebook_sha256', '=', sha256)
    .orderBy('idx', 'desc')
    .executeTakeFirst()
  return (found?.verdict ?? null) as JobView['verdict']
}

/** Packets that were received and never checked, as when the desk ended in between: their check goes on. */
export async function resumeChecks(desk: Desk, jobs: Jobs, person: Person, rulebook: Rulebook): Promise<void> {
  const rows = await desk.db
    .selectFrom('cases')
    .select(['accession', 'name'])
    .where('verdict', 'is', null)
    .orderBy('idx')
    .execute()
  for (const { accession, name } of rows) jobs.check(person, accession, name, rulebook)
}
