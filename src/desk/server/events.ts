/** Tells everybody who listens what happens at the desk. */
import type { DeskEvent } from '../contract.ts'

/** `owner`: whose work it is, who hears of it before the packet has a number. */
export type Told = DeskEvent & { owner?: string }

export type Listener = (event: Told) => void

export interface Events {
  tell(event: Told): void
  /** Gives what ends it. */
  listen(listener: Listener): () => void
}

export function makeEvents(): Events {
  const listeners = new Set<Listener>()
  return {
    tell(event) {
      for (const listener of listeners) listener(event)
    },
    listen(listener) {
      listeners.add(listener)
      return () => listeners.delete(listener)
    },
  }
}
