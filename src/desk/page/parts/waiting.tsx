/** Shown while something is asked for. */
export function Waiting({ what }: { what: string }) {
  return (
    <p className="waiting" role="status">
      Asking for {what} …
    </p>
  )
}
