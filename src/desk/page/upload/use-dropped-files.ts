import { useEffect, useRef, useState } from 'react'
import { type Entry, type NamedFile, walkEntry } from '../logic/dropped.ts'

/** Listens for files dropped on the window; tells whether some hang over it. */
export function useDroppedFiles(
  isWanted: boolean,
  take: (files: readonly NamedFile<File>[]) => void,
  fail: (error: Error) => void,
): boolean {
  const [isOver, setOver] = useState(false)
  const acts = useRef({ take, fail })
  acts.current = { take, fail }
  useEffect(() => {
    if (!isWanted) return
    const hasFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false
    const over = (event: DragEvent) => {
      if (!hasFiles(event)) return
      event.preventDefault()
      setOver(true)
    }
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false)
    }
    const drop = (event: DragEvent) => {
      if (!hasFiles(event)) return
      event.preventDefault()
      setOver(false)
      // Only while the event lasts: entries first, their files later.
      const entries = [...(event.dataTransfer?.items ?? [])].flatMap((item) => item.webkitGetAsEntry() ?? [])
      Promise.all(entries.map((entry) => walkEntry(entry as unknown as Entry<File>))).then(
        (found) => acts.current.take(found.flat()),
        (error: unknown) => acts.current.fail(error instanceof Error ? error : new Error(String(error))),
      )
    }
    window.addEventListener('dragover', over)
    window.addEventListener('dragleave', leave)
    window.addEventListener('drop', drop)
    return () => {
      window.removeEventListener('dragover', over)
      window.removeEventListener('dragleave', leave)
      window.removeEventListener('drop', drop)
    }
  }, [isWanted])
  return isOver
}
