/** Tells on a terminal how far long work has come. */
import { neutralise } from '../src/index.ts'
import type { Terminal } from './terminal.ts'

/** Work that ends sooner needs no word. */
const patience = 1000

export interface Progress {
  show(done: number, of: number, path: string): void
  /** Wipes the line away. */
  end(): void
}

export function startProgress(terminal: Terminal, now: () => number = () => performance.now()): Progress {
  if (!terminal.errorsAreShown) return { show() {}, end() {} }
  const started = now()
  let shown = false
  return {
    show(done, of, path) {
      if (now() - started < patience) return
      shown = true
      // Erase in line (ECMA-48 8.3.41), so that a shorter name leaves nothing of a longer one.
      terminal.tell(`\r\u001b[2K${done} of ${of} files read: ${neutralise(path).slice(0, 50)}`)
    },
    end() {
      if (shown) terminal.tell('\r\u001b[2K')
    },
  }
}
