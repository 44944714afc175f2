/** Takes child processes along when this process ends, by itself or by a signal. */
import type { ChildProcess } from 'node:child_process'

const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const
const guarded = new Set<ChildProcess>()

/** Guards a child until it is gone. A child in an endless loop would not notice by itself that its parent ended. */
export function guardChild(child: ChildProcess): void {
  if (guarded.size === 0) listen()
  guarded.add(child)
  const release = () => {
    if (guarded.delete(child) && guarded.size === 0) stopListening()
  }
  child.once('exit', release)
  child.once('error', release)
}

function listen(): void {
  process.on('exit', killAll)
  for (const signal of signals) process.on(signal, passOn)
}

function stopListening(): void {
  process.removeListener('exit', killAll)
  for (const signal of signals) process.removeListener(signal, passOn)
}

function killAll(): void {
  for (const child of guarded) child.kill('SIGKILL')
}

/** Ends as the signal would have ended us, unless someone else listens to it and decides. */
function passOn(signal: NodeJS.Signals): void {
  if (process.listenerCount(signal) > 1) return
  killAll()
  stopListening()
  process.kill(process.pid, signal)
}
