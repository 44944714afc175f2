import { type ReactNode, useId, useLayoutEffect, useRef } from 'react'

interface Props {
  title: string
  children: ReactNode
  close: () => void
}

/** A window above the page, which holds the focus until it is closed (HTML, `dialog`). */
export function Dialog({ title, children, close }: Props) {
  const element = useRef<HTMLDialogElement>(null)
  const heading = useId()
  // Closed while it still stands in the page: only then the focus goes back to where it came from.
  useLayoutEffect(() => {
    const dialog = element.current
    if (dialog?.open === false) dialog.showModal()
    return () => dialog?.close()
  }, [])
  return (
    <dialog
      ref={element}
      aria-labelledby={heading}
      onCancel={(event) => {
        event.preventDefault()
        close()
      }}
    >
      <div className="dialog-head">
        <h2 id={heading}>{title}</h2>
        <button type="button" className="plain-button" onClick={close}>
          Close
        </button>
      </div>
      {children}
    </dialog>
  )
}
