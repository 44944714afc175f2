import { useState } from 'react'
import type { PersonView } from '../../contract.ts'
import { useDropToken, useMakeToken, useTokens } from '../api/people.ts'
import { problemOf } from '../api/request.ts'
import { ActForm, Choice, TextField } from '../parts/form-parts.tsx'
import { Moment } from '../parts/moment.tsx'
import { ProblemNote } from '../parts/problem-note.tsx'

/** Tokens by which programs act for people: made, and taken back. */
export function Tokens({ people }: { people: readonly PersonView[] }) {
  const tokens = useTokens()
  const drop = useDropToken()
  return (
    <section>
      <h2>Tokens of programs</h2>
      <p className="quiet">A program that shows a token acts in the name of its person, and may what they may.</p>
      {tokens.isError ? (
        <ProblemNote problem={problemOf(tokens.error)} retry={() => void tokens.refetch()} small />
      ) : null}
      {drop.isError ? <ProblemNote problem={problemOf(drop.error)} small /> : null}
      <ul className="notes">
        {tokens.data?.map(({ token, person, label, madeAt, usedAt }) => (
          <li key={token}>
            <strong>{label}</strong> for {person}{' '}
            <span className="quiet">
              made <Moment at={madeAt} />,{' '}
              {usedAt === null ? (
                'never used'
              ) : (
                <>
                  last used <Moment at={usedAt} />
                </>
              )}
            </span>{' '}
            <button
              type="button"
              disabled={drop.isPending}
              onClick={() => drop.mutate(token)}
              aria-label={`Take back ${label}`}
            >
              Take back
            </button>
          </li>
        ))}
      </ul>
      <NewToken names={people.filter(({ closed }) => !closed).map(({ name }) => name)} />
    </section>
  )
}

function NewToken({ names }: { names: readonly string[] }) {
  const make = useMakeToken()
  const [label, setLabel] = useState('')
  const [person, setPerson] = useState(names[0] ?? '')
  return (
    <details>
      <summary>Make a token</summary>
      <ActForm
        words="Make it"
        isPending={make.isPending}
        error={make.error}
        submit={() => make.mutate({ person, label }, { onSuccess: () => setLabel('') })}
      >
        <TextField label="What it is for" value={label} change={setLabel} required />
        <Choice
          label="In whose name it acts"
          value={person}
          choices={names.map((value) => ({ value, words: value }))}
          change={setPerson}
        />
      </ActForm>
      {make.data === undefined ? null : (
        <p role="status">
          Its secret, which is shown this once: <code>{make.data.secret}</code>
        </p>
      )}
    </details>
  )
}
