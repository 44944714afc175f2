/** What the page offers to whom. The server decides; this keeps from people what it would refuse. */
import type { Role, SessionView } from '../../contract.ts'

const holds = ({ roles }: Pick<SessionView, 'roles'>, ...wanted: Role[]): boolean =>
  roles.some((role) => wanted.includes(role))

/** To hand packets in and write notes. */
export const maySubmit = (session: Pick<SessionView, 'roles'>): boolean =>
  holds(session, 'submitter', 'reviewer', 'custodian')

/** To decide on findings, assign, check again, and see the figures. */
export const mayReview = (session: Pick<SessionView, 'roles'>): boolean => holds(session, 'reviewer', 'custodian')

/** To keep accounts, where there are any. */
export const mayAdminister = ({ roles, accounts }: Pick<SessionView, 'roles' | 'accounts'>): boolean =>
  accounts && roles.includes('administrator')

/** To hold, release and seal. */
export const mayKeep = (session: Pick<SessionView, 'roles'>): boolean => holds(session, 'custodian')
