import { useId, useState } from 'react'
import { type PersonView, type Role, roleNames } from '../../contract.ts'
import { usePutPerson } from '../api/people.ts'
import { ActForm, TextField } from '../parts/form-parts.tsx'

const meanings: Record<Role, string> = {
  submitter: 'submitter: hands packets over, and sees those of one shop',
  reviewer: 'reviewer: sees all packets and decides on findings',
  custodian: 'custodian: holds, releases and seals, too',
  administrator: 'administrator: keeps the accounts',
}

/** Adds an account, or changes one; null: a new one. */
export function PersonForm({ person, done }: { person: PersonView | null; done: () => void }) {
  const put = usePutPerson()
  const passwordId = useId()
  const [name, setName] = useState(person?.name ?? '')
  const [roles, setRoles] = useState<readonly Role[]>(person?.roles ?? ['reviewer'])
  const [shop, setShop] = useState(person?.shop ?? '')
  const [password, setPassword] = useState('')
  const [closed, setClosed] = useState(person?.closed ?? false)
  const submit = () =>
    put.mutate(
      {
        name: name.trim(),
        roles: [...roles],
        shop: shop.trim() || null,
        ...(person === null ? {} : { closed }),
        ...(password === '' ? {} : { password }),
      },
      { onSuccess: done },
    )
  return (
    <ActForm
      words={person === null ? 'Add' : 'Change'}
      submit={submit}
      isPending={put.isPending || roles.length === 0}
      error={put.error}
    >
      {person === null ? <TextField label="Name" value={name} change={setName} required /> : null}
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
      <div className="field">
        <label htmlFor={passwordId}>
          {person === null ? 'Password' : 'A new password'}{' '}
          <span className="quiet">at least 12 characters{person === null ? '' : '; left out, the old one stays'}</span>
        </label>
        <input
          id={passwordId}
          type="password"
          autoComplete="new-password"
          minLength={12}
          required={person === null}
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
