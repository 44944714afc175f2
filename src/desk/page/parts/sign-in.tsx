import { type FormEvent, useState } from 'react'
import { useSignIn } from '../api/changes.ts'
import { problemOf } from '../api/request.ts'
import { ProblemNote } from './problem-note.tsx'

/** The door. */
export function SignIn() {
  const [name, setName] = useState('')
  const [password, setPassword] = useState('')
  const signIn = useSignIn()
  const submit = (event: FormEvent) => {
    event.preventDefault()
    signIn.mutate({ name: name.trim(), password })
  }
  return (
    <main className="narrow sign-in">
      <h1>Sign in to the desk</h1>
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
    </main>
  )
}
