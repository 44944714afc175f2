import { Link, useLocation } from 'wouter'
import { useSignOut } from '../api/changes.ts'
import { mayAdminister, mayReview } from '../logic/rights.ts'
import { useWho } from './session-context.ts'

/** Where one can go, and who one is. */
export function TopBar() {
  const { name, roles, archive, version, accounts } = useWho()
  const [location] = useLocation()
  const signOut = useSignOut()
  const to = (path: string, words: string) => (
    <Link href={path} aria-current={location === path ? 'page' : undefined}>
      {words}
    </Link>
  )
  return (
    <header className="top-bar">
      <p className="desk-name" title={`witnessmark ${version}`}>
        Desk <span className="quiet">{archive}</span>
      </p>
      <nav aria-label="Pages">
        {to('/', 'Queue')}
        {mayReview({ roles }) ? to('/audit', 'Figures') : null}
        {mayAdminister({ roles, accounts }) ? to('/people', 'People') : null}
      </nav>
      <p className="who">
        {name} <span className="quiet">{roles.join(', ')}</span>
        {accounts ? (
          <button type="button" className="plain-button" onClick={() => signOut.mutate()}>
            Sign out
          </button>
        ) : null}
      </p>
    </header>
  )
}
