import { useId, useState } from 'react'
import { type PersonChange, type PersonView, type Role, roleNames } from '../../contract.ts'
import { usePutPerson } from '../api/people.ts'
import { ActForm, TextField } from '../parts/form-parts.tsx'
import { useWho } from '../parts/session-context.ts'

const meanings: Record<Role, string> = {
  submitter: 'submitter: hands packets over, and sees those of one shop',
  reviewer: 'reviewer: sees all packets and decides on findings',
  custodian: 'custodian: holds, releases and seals, too',
  administrator: 'administrator: keeps the accounts',
}

/** Adds an account, or changes one; null: a new one. */
export function PersonForm({ person, done }: { person: PersonView | null; done: () => void }) {
  const put = usePutPerson()
  const { provider } = useWho()
  const passwordId = useId()
  const [name, setName] = useState(person?.name ?? '')
  const [roles, setRoles] = useState<readonly Role[]>(person?.roles ?? ['reviewer'])
  const [shop, setShop] = useState(person?.shop ?? '')
  const [password, setPassword] = useState('')
  const [closed, setClosed] = useState(person?.closed ?? false)
  const known = knownBy(person)
  const [email, setEmail] = useState(known.email)
  const [subject, setSubject] = useState(known.subject)
  const [isKept, setKept] = useState(person?.rolesBy !== 'provider')
  const isTold = !isKept
  const isNamed = email.trim() !== '' || subject.trim() !== ''
  const isNamedAnew = email !== known.email || subject !== known.subject || (isKept && person?.rolesBy === 'provider')
  const submit = () =>
    put.mutate(
      {
        name: name.trim(),
        ...(isTold ? {} : { roles: [...roles], shop: shop.trim() || null }),
        ...(person === null ? {} : { closed }),
        ...(password === '' ? {} : { password }),
        ...(isNamedAnew ? { openid: openidOf(email, subject) } : {}),
      },
      { onSuccess: done },
    )
  return (
    <ActForm
      words={person === null ? 'Add' : 'Change'}
      submit={submit}
      isPending={put.isPending || (roles.length === 0 && !isTold)}
      error={put.error}
    >
      {person === null ? (
        <TextField label="Name" value={name} change={setName} required />
      ) : (
        // Tells whoever keeps passwords whose this is.
        <input hidden readOnly autoComplete="username" value={name} />
      )}
      {isTold ? (
        <div>
          <p>What they may do, {provider ?? 'the provider'} says at each sign-in.</p>
          {provider === null ? null : (
            <button type="button" onClick={() => setKept(true)}>
              Say it here from now on
            </button>
          )}
        </div>
      ) : (
        <>
          <fieldset>
            <legend>May be</legend>
            {roleNames.map((role) => (
              <label key={role} className="tick">
                <input
                  type="checkbox"
                  checked={roles.includes(role)}
                  onChange={({ target }) =>
                    setRoles(target.checked ? [...roles, role] : roles.filter((other) => other !== role))
                  }
                />
                {meanings[role]}
              </label>
            ))}
          </fieldset>
          <TextField label="Of which shop a submitter sees the packets" value={shop} change={setShop} />
        </>
      )}
      {provider === null || isTold ? null : (
        <fieldset>
          <legend>Signs in with {provider}</legend>
          <TextField
            label="by an e-mail address that it verified"
            hint="Whoever first signs in with it has the account from then on."
            value={email}
            change={setEmail}
          />
          <TextField label="or as it calls them (subject)" value={subject} change={setSubject} />
        </fieldset>
      )}
      <div className="field">
        <label htmlFor={passwordId}>
          {person?.password ? 'A new password' : 'Password'}{' '}
          <span className="quiet">
            at least 12 characters{person?.password ? '; left out, the old one stays' : ''}
            {isNamed || (person !== null && !person.password) ? '; may be left out' : ''}
          </span>
        </label>
        <input
          id={passwordId}
          type="password"
          autoComplete="new-password"
          minLength={12}
          required={person === null && !isNamed}
          value={password}
          onChange={({ target }) => setPassword(target.value)}
        />
      </div>
      {person === null ? null : (
        <label className="tick">
          <input type="checkbox" checked={closed} onChange={({ target }) => setClosed(target.checked)} />
          Closed: nobody signs in with it any more
        </label>
      )}
    </ActForm>
  )
}

/** An address counts until somebody signed in with it; what the provider calls them from then on. */
function knownBy(person: PersonView | null): { email: string; subject: string } {
  const { email = null, subject = null } = person?.openid ?? {}
  return { email: subject === null ? (email ?? '') : '', subject: subject ?? '' }
}

function openidOf(email: string, subject: string): NonNullable<PersonChange['openid']> | null {
  if (subject.trim() !== '') return { subject: subject.trim() }
  return email.trim() === '' ? null : { email: email.trim() }
}
