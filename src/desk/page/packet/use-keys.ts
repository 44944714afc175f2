import { type RefObject, useEffect, useRef } from 'react'
import { actOf, type Focus, type KeyAct } from '../logic/keys.ts'
import { useSingleKeys } from '../parts/single-keys.ts'

/** Has keys do something while this part is shown. `list`: where arrows go from one to the next. */
export function useKeys(act: (name: KeyAct) => void, list: RefObject<HTMLElement | null>): void {
  const { singleKeys } = useSingleKeys()
  const last = useRef(act)
  last.current = act
  useEffect(() => {
    const press = (event: KeyboardEvent) => {
      if (event.defaultPrevented || document.querySelector('dialog[open]') !== null) return
      const name = actOf(event, focusOf(event.target, list.current), singleKeys)
      if (name === null) return
      event.preventDefault()
      last.current(name)
    }
    document.addEventListener('keydown', press)
    return () => document.removeEventListener('keydown', press)
  }, [singleKeys, list])
}

function focusOf(target: EventTarget | null, list: HTMLElement | null): Focus {
  if (!(target instanceof HTMLElement)) return 'elsewhere'
  if (target.closest('input, select, textarea')) return 'field'
  if (list?.contains(target) && target.matches('[data-finding]')) return 'list'
  return target.closest('button, a, summary') ? 'control' : 'elsewhere'
}
