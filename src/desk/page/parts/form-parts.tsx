import { type ReactNode, useId } from 'react'
import { problemOf } from '../api/request.ts'
import { ProblemNote } from './problem-note.tsx'

interface TextProps {
  label: string
  value: string
  change: (value: string) => void
  required?: boolean
  rows?: number
  hint?: string
}

/** A labelled field for words. */
export function TextField({ label, value, change, required = false, rows = 1, hint }: TextProps) {
  const id = useId()
  const shared = { id, value, required }
  return (
    <div className="field">
      <label htmlFor={id}>
        {label}
        {required ? null : <span className="quiet"> (may be left out)</span>}
      </label>
      {rows > 1 ? (
        <textarea {...shared} rows={rows} onChange={({ target }) => change(target.value)} />
      ) : (
        <input {...shared} autoComplete="off" onChange={({ target }) => change(target.value)} />
      )}
      {hint === undefined ? null : <span className="quiet">{hint}</span>}
    </div>
  )
}

interface ChoiceProps<Value extends string> {
  label: string
  value: Value
  choices: readonly { value: Value; words: string }[]
  change: (value: Value) => void
  disabled?: boolean
}

/** A labelled choice of one. */
export function Choice<Value extends string>({ label, value, choices, change, disabled = false }: ChoiceProps<Value>) {
  return (
    <label>
      <span>{label}</span>
      <select value={value} disabled={disabled} onChange={({ target }) => change(target.value as Value)}>
        {choices.map((choice) => (
          <option key={choice.value} value={choice.value}>
            {choice.words}
          </option>
        ))}
      </select>
    </label>
  )
}

interface FormProps {
  children: ReactNode
  submit: () => void
  words: string
  isPending: boolean
  error: Error | null
}

/** A form with its button, and what went wrong when it was sent. */
export function ActForm({ children, submit, words, isPending, error }: FormProps) {
  return (
    <form
      className="stacked"
      onSubmit={(event) => {
        event.preventDefault()
        submit()
      }}
    >
      {children}
      {error === null ? null : <ProblemNote problem={problemOf(error)} small />}
      <button type="submit" className="main-button" disabled={isPending}>
        {words}
      </button>
    </form>
  )
}
