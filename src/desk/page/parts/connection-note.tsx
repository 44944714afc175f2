/** Said while events do not come. */
export function ConnectionNote({ reconnect }: { reconnect: () => void }) {
  return (
    <div className="connection" role="alert">
      <p>
        <strong>No connection to the desk.</strong> What is shown may be out of date. It is tried again by itself.
      </p>
      <button type="button" onClick={reconnect}>
        Try now
      </button>
    </div>
  )
}
