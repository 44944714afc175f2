import { useSyncExternalStore } from 'react'

const place = 'desk-single-keys'
const listeners = new Set<() => void>()

const subscribe = (listener: () => void): (() => void) => {
  listeners.add(listener)
  return () => listeners.delete(listener)
}

function read(): boolean {
  try {
    return window.localStorage.getItem(place) !== 'off'
  } catch {
    // Browsers may forbid keeping anything.
    return true
  }
}

/** Whether single letters do something (WCAG 2.2, 2.1.4); kept in this browser. */
export function useSingleKeys(): { singleKeys: boolean; setSingleKeys: (isOn: boolean) => void } {
  const singleKeys = useSyncExternalStore(subscribe, read)
  const setSingleKeys = (isOn: boolean) => {
    try {
      window.localStorage.setItem(place, isOn ? 'on' : 'off')
    } catch {
      // Then it is as it was.
    }
    for (const listener of listeners) listener()
  }
  return { singleKeys, setSingleKeys }
}
