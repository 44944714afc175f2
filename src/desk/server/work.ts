/** What people do with packets at the desk: how work stands, notes, decisions, holds. */
import { archives } from '../../index.ts'
import type { CaseChange, DecisionView, NewDecision, NewHold, NoteView, QueueRow, Reasons } from '../contract.ts'
import { follow, readReport } from './cases.ts'
import { type Desk, stampOf } from './desk.ts'
import { readDecisions } from './packet-view.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'
import { readCase } from './queue.ts'

const actorOf = (person: Person): archives.Actor => ({ by: { name: person.name } })

/** Packets that somebody looks at again within this time, in milliseconds, are logged as looked at once. */
const oneLook = 10 * 60_000

/**
 * What logs that a person looked at a packet. Looks that come while another act is written are written with the next, so
 * that many people who look around do not wait for each other's turn.
 */
export function openViews({ archive, outside }: Desk): (person: Person, accession: string) => Promise<void> {
  const seen = new Map<string, number>()
  let waiting: { act: 'viewed'; accession: string; by: archives.Actor['by'] }[] = []
  let going: Promise<void> | null = null

  function write(person: Person): Promise<void> {
    const own = archives.act(archive, actorOf(person), async () => {
      const entries = waiting
      waiting = []
      going = null
      return { entries, result: undefined }
    })
    own.catch(() => {
      if (going !== own) return
      waiting = []
      going = null
    })
    return own
  }

  return async (person, accession) => {
    const key = `${accession} ${person.name}`
    const now = outside.now().getTime()
    for (const [old, at] of seen) if (now - at >= oneLook) seen.delete(old)
    if (seen.has(key)) return
    seen.set(key, now)
    waiting.push({ act: 'viewed', accession, ...actorOf(person) })
    going ??= write(person)
    try {
      await going
    } catch (error) {
      // It was not logged: the next look is.
      seen.delete(key)
      throw error
    }
  }
}

export async function changeCase(desk: Desk, person: Person, accession: string, change: CaseChange): Promise<QueueRow> {
  const { state, assigned } = await readCase(desk, person, accession)
  const row = {
    accession,
    state: change.state ?? state,
    assigned: change.assigned === undefined ? assigned : change.assigned,
  }
  await desk.db
    .insertInto('work')
    .values(row)
    .onConflict((it) => it.column('accession').doUpdateSet(row))
    .execute()
  desk.events.tell({ event: 'packet', data: { accession } })
  return readCase(desk, person, accession)
}

export async function addNote(desk: Desk, person: Person, accession: string, text: string): Promise<NoteView> {
  await readCase(desk, person, accession)
  const at = stampOf(desk.outside.now())
  const { note } = await desk.db
    .insertInto('notes')
    .values({ accession, at, by_name: person.name, text } as never)
    .returning('note')
    .executeTakeFirstOrThrow()
  desk.events.tell({ event: 'packet', data: { accession } })
  return { note, at, by: person.name, text }
}

/** Logs a decision. Throws ProblemError 409 where the last report makes no such finding. */
export async function decide(
  desk: Desk,
  person: Person,
  accession: string,
  { finding: key, ruling, why }: NewDecision,
): Promise<DecisionView> {
  await readCase(desk, person, accession)
  const found = await readReport(desk.archive, accession)
  const finding = found?.report.findings.find((one) => archives.findingKey(one) === key)
  if (found === null || finding === undefined)
    throw new ProblemError(409, 'The last report makes no such finding', {
      mend: 'Look at the packet again: it may have been checked anew.',
    })
  const { check, message } = finding
  await archives.act(desk.archive, { ...actorOf(person), why }, async () => ({
    entries: [{ act: 'decided', accession, report: found.sha256, check, message, finding: key, ruling }],
    result: undefined,
  }))
  await follow(desk)
  const decisions = await readDecisions(desk, accession, new Set([key]))
  const own = decisions.findLast((one) => one.finding === key && one.by === person.name)
  if (own === undefined) throw new Error(`A decision on ${accession} was logged and is not found`)
  return own
}

export async function hold(desk: Desk, person: Person, { matter, accessions, why, authority }: NewHold) {
  for (const accession of accessions) await readCase(desk, person, accession)
  const placed = await archives.placeHold(desk.archive, { ...actorOf(person), why, authority }, matter, { accessions })
  await follow(desk)
  return placed
}

export async function release(desk: Desk, person: Person, name: string, { why, authority }: Reasons): Promise<void> {
  await archives.releaseHold(desk.archive, { ...actorOf(person), why, authority }, name)
  await follow(desk)
}
