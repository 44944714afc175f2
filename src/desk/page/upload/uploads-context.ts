import { createContext, use, useSyncExternalStore } from 'react'
import type { Sending, Uploads } from '../api/uploads.ts'
import type { NamedFile } from '../logic/dropped.ts'

interface Handing {
  uploads: Uploads
  /** Asks what to do with files that were dropped or chosen. */
  offer: (files: readonly NamedFile<File>[]) => void
}

export const UploadsContext = createContext<Handing | null>(null)

/** The packets that are handed over from this page. Only below `HandOver`. */
export function useHanding(): Handing {
  const handing = use(UploadsContext)
  if (handing === null) throw new Error('Nothing can be handed over here')
  return handing
}

export function useSendings(): readonly Sending[] {
  const { uploads } = useHanding()
  return useSyncExternalStore(uploads.subscribe, uploads.snapshot)
}
