/** Sealing packets, and what their seals are worth. */
import { sealKept, verifySealsOf, viewSeal } from '../../index.ts'
import type { MadeSeal, NewSeal, SealsView } from '../contract.ts'
import { follow } from './cases.ts'
import { type Desk, stampOf } from './desk.ts'
import type { Jobs } from './jobs.ts'
import type { Person } from './people.ts'
import { ProblemError } from './problem.ts'
import { readCase } from './queue.ts'
import { accessionOf, type Route } from './route.ts'

export function sealRoutes(desk: Desk, jobs: Jobs): Route[] {
  const path = '/api/packets/:accession/seals'
  const going = new Map<string, Promise<SealsView>>()
  return [
    {
      method: 'GET',
      path,
      summary: 'What each of its seals is worth, part by part, examined now',
      right: 'look',
      answer: { status: 200, schema: 'Seals', text: 'Its seals, oldest first.' },
      async handle(asked) {
        const accession = accessionOf(asked)
        await readCase(desk, asked.person, accession)
        // Every file is read: those who ask at once are answered at once.
        const found = going.get(accession) ?? examine(desk, accession).finally(() => going.delete(accession))
        going.set(accession, found)
        return found
      },
    },
    {
      method: 'POST',
      path,
      summary: 'Seal it with its last report, by the identity of the desk, and keep the seal',
      right: 'keep',
      body: 'NewSeal',
      answer: { status: 201, schema: 'MadeSeal', text: 'The entry of the custody log by which it is sealed.' },
      handle: (asked) => seal(desk, jobs, asked.person, accessionOf(asked), asked.body as NewSeal),
    },
  ]
}

async function examine(desk: Desk, accession: string): Promise<SealsView> {
  const { archive, vouching } = desk
  const seals = await verifySealsOf(archive, accession, { ...vouching, algorithms: algorithmsOf(desk) })
  return {
    examined: stampOf(archive.outside.now()),
    seals: seals.map(({ index: entry, at, signer, parts }) => ({ entry, at, signer, ...viewSeal({ parts }) })),
  }
}

function algorithmsOf({ rulebooks }: Desk) {
  const [rulebook] = rulebooks.values()
  if (rulebook === undefined) throw new Error('The desk has no rulebook')
  return rulebook.algorithms
}

async function seal(desk: Desk, jobs: Jobs, person: Person, accession: string, { why }: NewSeal): Promise<MadeSeal> {
  await readCase(desk, person, accession)
  if (desk.sealing === null)
    throw new ProblemError(409, 'This desk seals nothing: it was given no identity', {
      mend: 'Ask whoever runs the desk to start it with --identity FILE.',
    })
  if (jobs.about(accession) !== null)
    throw new ProblemError(409, `${accession} is being checked: its report may change`, {
      mend: 'Wait until the check is done, look at the report, and seal it then.',
    })
  const { signer, ...sealing } = desk.sealing
  const actor = { by: { name: person.name }, ...(why === undefined ? {} : { why }) }
  const sealed = await sealKept(desk.archive, actor, accession, { ...sealing, signer: signer() })
  await follow(desk)
  const { index: entry, again } = sealed
  return { entry, again, unstamped: sealed.again ? null : (sealed.filled.unstamped?.message ?? null) }
}
