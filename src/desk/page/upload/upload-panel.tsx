import { type ChangeEvent, useRef } from 'react'
import { maySubmit } from '../logic/rights.ts'
import { useWho } from '../parts/session-context.ts'
import { SendingLine } from './sending-line.tsx'
import { useHanding, useSendings } from './uploads-context.ts'

/** Where packets are handed over, and how far those are that were. */
export function UploadPanel() {
  const sendings = useSendings()
  if (!maySubmit(useWho())) return null
  return (
    <section className="upload" aria-label="Hand over packets">
      <p>
        <strong>Drop a folder or a zip</strong> anywhere on this page, or choose
      </p>
      <Chooser words="files or a zip" isFolder={false} />
      <Chooser words="a folder" isFolder />
      {sendings.length === 0 ? null : (
        <ul className="sendings">
          {sendings.map((sending) => (
            <SendingLine key={sending.key} sending={sending} />
          ))}
        </ul>
      )}
    </section>
  )
}

/** A button over a hidden chooser of the browser. */
function Chooser({ words, isFolder }: { words: string; isFolder: boolean }) {
  const { offer } = useHanding()
  const input = useRef<HTMLInputElement>(null)
  const take = ({ target }: ChangeEvent<HTMLInputElement>) => {
    const files = [...(target.files ?? [])].map((file) => ({ path: file.webkitRelativePath || file.name, file }))
    // The same may be chosen again.
    target.value = ''
    if (files.length > 0) offer(files)
  }
  return (
    <>
      <button type="button" onClick={() => input.current?.click()}>
        {words}
      </button>
      <input ref={input} type="file" hidden multiple onChange={take} webkitdirectory={isFolder ? '' : undefined} />
    </>
  )
}
