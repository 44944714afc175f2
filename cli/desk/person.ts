/** Adds somebody to a desk that several people use, from the command line: the first administrator, above all. */
import {
  type Desk,
  leastPassword,
  listPeople,
  ProblemError,
  putPerson,
  type Role,
  roleNames,
} from '../../src/desk/index.ts'
import { holdAsking, readPassphrase } from '../passphrase.ts'
import type { Terminal } from '../terminal.ts'
import { UserError } from '../user-error.ts'

export interface PersonOptions {
  add: string
  roles?: string
  shop?: string
  'passphrase-file'?: string
}

/** Adds the person, or gives them a new password, roles and shop. Throws UserError. */
export async function addPerson(desk: Desk, { add: name, shop, ...options }: PersonOptions, terminal: Terminal) {
  const roles = readRoles(options.roles)
  const password = await choosePassword(name, options['passphrase-file'], terminal)
  const isFirst = (await listPeople(desk)).length === 0
  if (isFirst && !roles.includes('administrator'))
    throw new UserError('the first account must be an administrator\u2019s', null, 'Add administrator to --roles.')
  await putPerson(desk, name, { roles, password, ...(shop === undefined ? {} : { shop }) }).catch((error: unknown) => {
    if (!(error instanceof ProblemError)) throw error
    const { title, mend } = error.problem
    throw new UserError(title, null, mend ?? 'Say it otherwise.')
  })
  await terminal.print(`${name} can sign in, as ${roles.join(', ')}.\n`)
}

function readRoles(text: string | undefined): Role[] {
  const words = (text ?? '').split(',').map((word) => word.trim())
  const roles = words.flatMap((word) => roleNames.find((role) => role === word) ?? [])
  if (text !== undefined && roles.length === words.length) return roles
  throw new UserError(
    text === undefined ? 'an account needs roles' : `--roles ${text} names something else than roles`,
    null,
    `Write --roles with one or more of ${roleNames.join(', ')}, with commas between.`,
  )
}

async function choosePassword(name: string, file: string | undefined, terminal: Terminal): Promise<string> {
  if (file !== undefined) return readPassphrase(file)
  const ask = holdAsking(terminal)
  const first = await ask(`Password of ${name}, ${leastPassword} characters or more: `)
  if ((await ask('The same again: ')) === first) return first
  throw new UserError('the two passwords differ', null, 'Type the same password twice.')
}
