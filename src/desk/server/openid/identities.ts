/** Whose account it is that a provider names; whom it may let in without one; nobody else. */
import { neutralise } from '../../../index.ts'
import type { Role } from '../../contract.ts'
import { personOf } from '../accounts.ts'
import { type Desk, stampOf } from '../desk.ts'
import { isName, type Person } from '../people.ts'
import { ProblemError } from '../problem.ts'
import type { DeskTables } from '../tables.ts'
import type { Identity } from './provider.ts'
import type { OpenIdSettings, RolesByClaim } from './settings.ts'

type Row = DeskTables['people']
type Writing = Pick<Desk['db'], 'selectFrom' | 'updateTable' | 'insertInto' | 'deleteFrom'>

/** What somebody may do by what is claimed of them. */
interface Standing {
  roles: readonly Role[]
  shop: string | null
}

/**
 * The person whom the provider named, as an account of the desk: the one that is bound to them, the one that waits for
 * their verified address, or one made by the roles that are claimed of them. Throws ProblemError 403 for anybody else.
 */
export async function admit(desk: Desk, settings: OpenIdSettings, identity: Identity): Promise<Person> {
  const outcome = await desk.db.transaction().execute((writing) => decide(writing, desk, settings, identity))
  // What was taken from them stays taken: so the refusal comes after the writing.
  if (outcome instanceof ProblemError) throw outcome
  return personOf(outcome)
}

async function decide(
  writing: Writing,
  desk: Desk,
  settings: OpenIdSettings,
  identity: Identity,
): Promise<Row | ProblemError> {
  const { issuer, subject, email } = identity
  const { domains } = settings
  if (domains !== undefined && !domains.some((domain) => email?.endsWith(`@${domain.toLowerCase()}`)))
    return refusal(settings, identity, 'The desk is for other domains')
  const people = writing.selectFrom('people').selectAll().where('issuer', '=', issuer)
  const bound = await people.where('subject', '=', subject).executeTakeFirst()
  if (bound !== undefined) return enterBound(writing, settings, identity, bound)
  const waiting =
    email === null ? undefined : await people.where('subject', 'is', null).where('email', '=', email).executeTakeFirst()
  if (waiting !== undefined) {
    if (waiting.closed === 1) return closed(waiting)
    await writing.updateTable('people').set({ subject }).where('name', '=', waiting.name).execute()
    return { ...waiting, subject }
  }
  const standing = standingOf(settings.roles, identity.claims)
  if (standing === null) return refusal(settings, identity, 'You have no account at this desk')
  if (standing instanceof ProblemError) return standing
  return makeAccount(writing, desk, settings, identity, standing)
}

async function enterBound(
  writing: Writing,
  settings: OpenIdSettings,
  identity: Identity,
  row: Row,
): Promise<Row | ProblemError> {
  if (row.closed === 1) return closed(row)
  if (row.claimed === 0) return row
  const standing = standingOf(settings.roles, identity.claims)
  const isLost = standing === null || standing instanceof ProblemError
  const next = isLost ? { roles: '[]', shop: null } : toRow(standing)
  if (next.roles !== row.roles || next.shop !== row.shop) {
    await writing.updateTable('people').set(next).where('name', '=', row.name).execute()
    await writing.deleteFrom('sessions').where('name', '=', row.name).execute()
  }
  if (isLost)
    return standing ?? refusal(settings, identity, 'Nothing that the provider says of you lets you in any more')
  return { ...row, ...next }
}

async function makeAccount(
  writing: Writing,
  desk: Desk,
  settings: OpenIdSettings,
  identity: Identity,
  standing: Standing,
): Promise<Row | ProblemError> {
  const { issuer, subject, email } = identity
  const taken = new Set((await writing.selectFrom('people').select('name').execute()).map(({ name }) => fold(name)))
  const called = identity.claims[settings.name ?? 'name']
  const candidates = [typeof called === 'string' ? called.normalize('NFC').trim() : '', email ?? '', subject]
  const name = candidates.find((candidate) => isName(candidate) && !taken.has(fold(candidate)))
  if (name === undefined) return refusal(settings, identity, 'The desk has no name to call you by')
  const row: Row = {
    name,
    ...toRow(standing),
    password: null,
    closed: 0,
    made_at: stampOf(desk.outside.now()),
    issuer,
    subject,
    email,
    claimed: 1,
  }
  await writing.insertInto('people').values(row).execute()
  return row
}

const toRow = ({ roles, shop }: Standing) => ({ roles: JSON.stringify([...roles].sort()), shop })

/** Two people whose names look alike would be one in the custody log. */
const fold = (name: string): string => name.normalize('NFKC').toLowerCase().replace(/\s+/g, ' ')

/** Null for somebody of whom nothing is claimed that lets them in. */
function standingOf(mapping: RolesByClaim | undefined, claims: Identity['claims']): Standing | ProblemError | null {
  if (mapping === undefined) return null
  const claimed = valuesAt(claims, mapping.claim)
  const matching = mapping.values.filter(({ value }) => claimed.includes(value))
  if (matching.length === 0) return null
  const roles = [...new Set(matching.flatMap((entry) => entry.roles))]
  const shops = [...new Set(matching.flatMap(({ shop }) => shop ?? []))]
  if (shops.length > 1)
    return new ProblemError(403, 'The provider says that you are of several shops', {
      detail: `They are ${shops.join(', ')}; an account is of one.`,
      mend: 'Ask whoever keeps your groups there.',
    })
  return { roles, shop: shops[0] ?? null }
}

function valuesAt(claims: Identity['claims'], claim: RolesByClaim['claim']): unknown[] {
  let value: unknown = claims
  for (const name of [claim].flat())
    value =
      typeof value === 'object' && value !== null && Object.hasOwn(value, name) ? Reflect.get(value, name) : undefined
  return [value].flat()
}

const closed = ({ name }: Row): ProblemError =>
  new ProblemError(403, `The account of ${name} is closed`, { mend: 'Ask whoever administers the desk.' })

/** Tells by what an administrator can let them in. */
const refusal = ({ label }: OpenIdSettings, { subject, email }: Identity, title: string): ProblemError =>
  new ProblemError(403, title, {
    detail: neutralise(
      `${label} knows you as ${subject.slice(0, 255)}${email === null ? '' : `, with the address ${email.slice(0, 255)}`}.`,
    ),
    mend: 'Ask whoever administers the desk to let you in by that.',
  })
