import { type RefObject, useEffect, useState } from 'react'

/** Whether an element was ever near what is seen: what nobody scrolls to need not be drawn. */
export function useSeen(element: RefObject<HTMLElement | null>): boolean {
  const [isSeen, setSeen] = useState(false)
  useEffect(() => {
    const watched = element.current
    if (watched === null || isSeen) return
    const observer = new IntersectionObserver(
      (entries) => {
        if (entries.some(({ isIntersecting }) => isIntersecting)) setSeen(true)
      },
      { rootMargin: '400px' },
    )
    observer.observe(watched)
    return () => observer.disconnect()
  }, [element, isSeen])
  return isSeen
}
