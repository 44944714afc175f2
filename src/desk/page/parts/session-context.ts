import { createContext, use } from 'react'
import type { SessionView } from '../../contract.ts'

export const SessionContext = createContext<SessionView | null>(null)

/** Who is at the desk. Only below `SessionContext`. */
export function useWho(): SessionView {
  const session = use(SessionContext)
  if (session === null) throw new Error('Nobody is known here')
  return session
}
