import { type RefObject, useLayoutEffect, useState } from 'react'
import type { Size } from '../logic/scale.ts'

/** The size inside an element, without its scroll bars; nothing until it was measured. */
export function useRoom(element: RefObject<HTMLElement | null>): Size {
  const [room, setRoom] = useState<Size>({ width: 0, height: 0 })
  useLayoutEffect(() => {
    const watched = element.current
    if (watched === null) return
    const measure = () => {
      const { clientWidth: width, clientHeight: height } = watched
      setRoom((last) => (last.width === width && last.height === height ? last : { width, height }))
    }
    measure()
    const observer = new ResizeObserver(measure)
    observer.observe(watched)
    return () => observer.disconnect()
  }, [element])
  return room
}
