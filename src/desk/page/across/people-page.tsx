import { useState } from 'react'
import type { PersonView } from '../../contract.ts'
import { usePeople } from '../api/people.ts'
import { problemOf } from '../api/request.ts'
import { Dialog } from '../parts/dialog.tsx'
import { Moment } from '../parts/moment.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'
import { Scroller } from '../parts/scroller.tsx'
import { useTitle } from '../parts/use-title.ts'
import { Waiting } from '../parts/waiting.tsx'
import { PersonForm } from './person-form.tsx'
import { Tokens } from './tokens.tsx'

/** Who has an account and what they may do; and the tokens of programs. */
export function PeoplePage() {
  const people = usePeople()
  // Null: nobody; `new`: somebody who is not there yet.
  const [chosen, setChosen] = useState<PersonView | 'new' | null>(null)
  useTitle('People – Desk')
  const close = () => setChosen(null)
  return (
    <div className="part">
      <div className="queue-head">
        <h1>People</h1>
        <button type="button" onClick={() => setChosen('new')}>
          Add somebody …
        </button>
      </div>
      {people.isError ? <ProblemNote problem={problemOf(people.error)} retry={() => void people.refetch()} /> : null}
      {people.isPending ? <Waiting what="the accounts" /> : null}
      {people.data === undefined ? null : (
        <>
          <PeopleTable people={people.data} choose={setChosen} />
          <Tokens people={people.data} />
        </>
      )}
      {chosen === null ? null : (
        <Dialog title={chosen === 'new' ? 'Add somebody' : chosen.name} close={close}>
          <PersonForm person={chosen === 'new' ? null : chosen} done={close} />
        </Dialog>
      )}
    </div>
  )
}

function PeopleTable({ people, choose }: { people: readonly PersonView[]; choose: (person: PersonView) => void }) {
  return (
    <Scroller className="scroll" label="Accounts">
      <table>
        <thead>
          <tr>
            {['Name', 'May be', 'Packets', 'Signs in', 'Since', ''].map((name) => (
              <th key={name} scope="col">
                {name === '' ? <span className="hidden">Change</span> : name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {people.map((person) => (
            <tr key={person.name}>
              <th scope="row">
                {person.name}
                {person.closed ? <span className="below">closed: nobody signs in with it</span> : null}
              </th>
              <td>
                {person.roles.join(', ')}
                {person.rolesBy === 'provider' ? <span className="below">as the provider says</span> : null}
              </td>
              <td>{person.shop === null ? 'all' : `those of ${person.shop}`}</td>
              <td>{waysOf(person).join('; ')}</td>
              <td>
                <Moment at={person.madeAt} />
              </td>
              <td>
                <button type="button" aria-label={`Change ${person.name}`} onClick={() => choose(person)}>
                  Change …
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Scroller>
  )
}

function waysOf({ password, openid }: PersonView): string[] {
  const own = password ? ['by a password'] : []
  if (openid === null) return own
  const { issuer, subject, email } = openid
  const who = subject === null ? `first with ${email}` : `as ${email ?? subject}`
  return [...own, `at ${issuer.replace(/^https?:\/\//, '')}, ${who}`]
}
