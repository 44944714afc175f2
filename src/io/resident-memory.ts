import { execFile } from 'node:child_process'
import { readFile } from 'node:fs/promises'
import { promisify } from 'node:util'

/**
 * Bytes of memory that a process holds resident, or null where the system does not tell or the process is gone.
 * `VmRSS` of /proc (proc(5)) where there is one, for it needs no page size; else POSIX `ps`, in units of 1024 bytes.
 */
export async function measureResidentMemory(pid: number): Promise<number | null> {
  if (process.platform === 'win32') return null
  try {
    return process.platform === 'linux' ? await fromProc(pid) : await fromPs(pid)
  } catch {
    return null
  }
}

async function fromProc(pid: number): Promise<number | null> {
  const kibibytes = /^VmRSS:\s*(\d+) kB$/m.exec(await readFile(`/proc/${pid}/status`, 'utf8'))?.[1]
  return kibibytes === undefined ? null : Number(kibibytes) * 1024
}

async function fromPs(pid: number): Promise<number | null> {
  const { stdout } = await promisify(execFile)('ps', ['-o', 'rss=', '-p', String(pid)])
  const kibibytes = Number.parseInt(stdout, 10)
  return Number.isNaN(kibibytes) ? null : kibibytes * 1024
}

/** How often to look, in milliseconds: reading /proc costs nothing, `ps` is a process of its own. */
export const memoryInterval = process.platform === 'linux' ? 50 : 500
