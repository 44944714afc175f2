/** Who may do what at the desk. */
import { type Role, roleNames } from '../contract.ts'
import { ProblemError } from './problem.ts'

export interface Person {
  name: string
  roles: readonly Role[]
  /** Whose packets alone a submitter sees; null for everybody's. */
  shop: string | null
}

/** Whether the custody log can carry it, and a person read it. */
export const isName = (text: string): boolean => /^[\p{L}\p{M}\p{N}][\p{L}\p{M}\p{N} .'’@_-]{0,99}$/u.test(text)

/** What can be done, and in which roles. */
const rights = {
  submit: ['submitter', 'reviewer', 'custodian'],
  look: ['submitter', 'reviewer', 'custodian'],
  note: ['submitter', 'reviewer', 'custodian'],
  review: ['reviewer', 'custodian'],
  audit: ['reviewer', 'custodian'],
  keep: ['custodian'],
  administer: ['administrator'],
} as const satisfies Record<string, readonly Role[]>
export type Right = keyof typeof rights

/** All roles: of whoever has the desk on a machine of their own. */
export const everyRole: readonly Role[] = roleNames

export function mayDo({ roles }: Person, right: Right): boolean {
  const among: readonly Role[] = rights[right]
  return roles.some((role) => among.includes(role))
}

/** Throws ProblemError 403 for who may not. */
export function holdToRight(person: Person, right: Right): void {
  if (mayDo(person, right)) return
  throw new ProblemError(403, 'This is not for your role', {
    detail: `It takes one of the roles ${rights[right].join(', ')}.`,
    mend: 'Ask whoever administers the desk.',
  })
}

/** Who sees only one shop's packets sees those, and is not told of others. */
export const seesAll = ({ roles }: Person): boolean => roles.some((role) => role === 'reviewer' || role === 'custodian')
