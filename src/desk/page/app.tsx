import { Link, Route, Switch, useLocation } from 'wouter'
import type { Problem } from '../contract.ts'
import { AuditPage } from './across/audit-page.tsx'
import { ComparePage } from './across/compare-page.tsx'
import { PeoplePage } from './across/people-page.tsx'
import { useDeskEvents } from './api/events.ts'
import { useSession } from './api/queries.ts'
import { problemOf } from './api/request.ts'
import { PacketPage } from './packet/packet-page.tsx'
import { ConnectionNote } from './parts/connection-note.tsx'
import { FaultBoundary } from './parts/fault-boundary.tsx'
import { ProblemNote } from './parts/problem-note.tsx'
import { SessionContext } from './parts/session-context.ts'
import { SignIn } from './parts/sign-in.tsx'
import { TopBar } from './parts/top-bar.tsx'
import { Waiting } from './parts/waiting.tsx'
import { QueuePage } from './queue/queue-page.tsx'
import { HandOver } from './upload/hand-over.tsx'

/** The whole page: who is there, and what they look at. `arrival`: what went wrong when they came to sign in. */
export function App({ arrival }: { arrival: Problem | null }) {
  const session = useSession()
  const { connection, reconnect } = useDeskEvents(session.data !== undefined)
  const [location] = useLocation()
  if (session.isPending) return <Waiting what="the desk" />
  const problem = session.isError ? problemOf(session.error) : null
  if (problem?.status === 401 && !wantsLink(problem)) return <SignIn arrival={arrival} />
  // What is shown stays while the desk does not answer.
  if (problem !== null && (problem.status === 401 || session.data === undefined))
    return (
      <main className="narrow">
        <h1>Desk</h1>
        <ProblemNote problem={problem} retry={() => void session.refetch()} />
      </main>
    )
  if (session.data === undefined) return null
  return (
    <SessionContext value={session.data}>
      <a className="skip" href="#main">
        Skip to the content
      </a>
      <TopBar />
      {connection === 'lost' ? <ConnectionNote reconnect={reconnect} /> : null}
      <HandOver>
        <main id="main" tabIndex={-1}>
          <FaultBoundary key={location}>
            <Switch>
              <Route path="/">
                <QueuePage />
              </Route>
              <Route path="/packets/:accession">
                {({ accession }) => <PacketPage key={accession} accession={accession} />}
              </Route>
              <Route path="/compare">
                <ComparePage />
              </Route>
              <Route path="/audit">
                <AuditPage />
              </Route>
              <Route path="/people">
                <PeoplePage />
              </Route>
              <Route>
                <NotThere />
              </Route>
            </Switch>
          </FaultBoundary>
        </main>
      </HandOver>
    </SessionContext>
  )
}

/** A desk without accounts lets in by a link that it printed: nobody can sign in there. */
const wantsLink = ({ mend = '' }: Problem): boolean => /\blink\b/.test(mend)

function NotThere() {
  return (
    <div className="narrow">
      <h1>Nothing is here</h1>
      <p>
        The address leads to no page of the desk. <Link href="/">Go to the queue</Link>, and look for the packet by its
        number, name, VIN, job or claim.
      </p>
    </div>
  )
}
