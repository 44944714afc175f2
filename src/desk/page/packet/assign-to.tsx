import { type FormEvent, useState } from 'react'
import { useWho } from '../parts/session-context.ts'

interface Props {
  assigned: string | null
  isPending: boolean
  assign: (name: string | null) => void
}

/** Takes the packet oneself, gives it to somebody by name, or puts it back. */
export function AssignTo({ assigned, isPending, assign }: Props) {
  const { name } = useWho()
  const [other, setOther] = useState<string | null>(null)
  if (other !== null) {
    const submit = (event: FormEvent) => {
      event.preventDefault()
      assign(other.trim() || null)
      setOther(null)
    }
    return (
      <form className="assign" onSubmit={submit}>
        <label>
          <span>Looked after by</span>
          {/* biome-ignore lint/a11y/noAutofocus: it takes the place of the button that was pressed. */}
          <input autoFocus value={other} onChange={({ target }) => setOther(target.value)} />
        </label>
        <button type="submit" disabled={isPending}>
          Give
        </button>
        <button type="button" className="plain-button" onClick={() => setOther(null)}>
          Leave it
        </button>
      </form>
    )
  }
  return (
    <div className="assign">
      <p>
        <span className="quiet">Looked after by</span> {assigned ?? 'nobody yet'}
      </p>
      {assigned === name ? null : (
        <button type="button" disabled={isPending} onClick={() => assign(name)}>
          Take it
        </button>
      )}
      <button type="button" onClick={() => setOther('')}>
        Give to …
      </button>
      {assigned === null ? null : (
        <button type="button" disabled={isPending} onClick={() => assign(null)}>
          Put back
        </button>
      )}
    </div>
  )
}
