/** Going to a provider to sign in, and coming back: to what was looked at, or with what went wrong. */
import type { Problem } from '../../contract.ts'
import { readProblem } from './request.ts'

const key = 'desk-was-at'

/** Leaves the page for an address that the server gave. */
export function goTo(address: string): void {
  sessionStorage.setItem(key, window.location.href)
  window.location.assign(address)
}

/**
 * What the server says, in the page itself, of a sign-in that did not succeed; null where it says nothing. The address is
 * then the one that was looked at before, and neither the code nor the state of the sign-in stands in it any more.
 */
export function takeArrival(): Problem | null {
  const told = document.querySelector<HTMLMetaElement>('meta[name="problem"]')
  const isBack = told !== null || window.location.pathname === '/'
  const before = sessionStorage.getItem(key)
  if (isBack) {
    sessionStorage.removeItem(key)
    if (before !== null || told !== null) window.history.replaceState(null, '', before ?? '/')
  }
  return told === null ? null : readProblem(0, told.content)
}
