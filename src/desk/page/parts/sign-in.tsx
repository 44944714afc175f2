import { type FormEvent, useState } from 'react'
import type { Problem } from '../../contract.ts'
import { useSignIn, useSignInElsewhere } from '../api/changes.ts'
import { useSignInWays } from '../api/queries.ts'
import { problemOf } from '../api/request.ts'
import { ProblemNote } from './problem-note.tsx'

/** The door. `arrival`: why somebody who comes back from a provider is still outside. */
export function SignIn({ arrival }: { arrival: Problem | null }) {
  const [name, setName] = useState('')
  const [password, setPassword] = useState('')
  const signIn = useSignIn()
  const elsewhere = useSignInElsewhere()
  const provider = useSignInWays().data?.openid ?? null
  const submit = (event: FormEvent) => {
    event.preventDefault()
    signIn.mutate({ name: name.trim(), password })
  }
  return (
    <main className="narrow sign-in">
      <h1>Sign in to the desk</h1>
      {arrival !== null && signIn.isIdle && elsewhere.isIdle ? <ProblemNote problem={arrival} /> : null}
      <form onSubmit={submit} className="stacked">
        <label>
          Name
          <input autoComplete="username" value={name} onChange={({ target }) => setName(target.value)} required />
        </label>
        <label>
          Password
          <input
            type="password"
            autoComplete="current-password"
            value={password}
            onChange={({ target }) => setPassword(target.value)}
            required
          />
        </label>
        {signIn.isError ? <ProblemNote problem={problemOf(signIn.error)} /> : null}
        <button type="submit" className="main-button" disabled={signIn.isPending}>
          Sign in
        </button>
      </form>
      {provider === null ? null : (
        <div className="elsewhere">
          <button
            type="button"
            disabled={elsewhere.isPending || elsewhere.isSuccess}
            onClick={() => elsewhere.mutate()}
          >
            Sign in with {provider.label}
          </button>
          {elsewhere.isError ? <ProblemNote problem={problemOf(elsewhere.error)} /> : null}
        </div>
      )}
    </main>
  )
}
