import type { Problem } from '../../contract.ts'

interface Props {
  problem: Problem
  /** What to do again by hand; without it, nothing can be. */
  retry?: (() => void) | undefined
  /** Instead of a banner, a line among others. */
  small?: boolean
}

/** What went wrong, and how to mend it. */
export function ProblemNote({ problem: { title, detail, mend }, retry, small = false }: Props) {
  return (
    <div className={small ? 'problem small' : 'problem'} role="alert">
      <p className="problem-title">
        <span aria-hidden="true">✕ </span>
        {title}
      </p>
      {detail ? <p className="problem-detail">{detail}</p> : null}
      {mend ? <p>To mend it: {mend}</p> : null}
      {retry === undefined ? null : (
        <button type="button" onClick={retry}>
          Try again
        </button>
      )}
    </div>
  )
}
