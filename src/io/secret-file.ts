/** Reads a small secret from a file, or from a descriptor that whoever started the program has opened. */

import { fstat, read } from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'
import { promisify } from 'node:util'

export interface Secret {
  bytes: Uint8Array
  /** Others than the owner may read or change the file; never true on Windows, which has no such modes. */
  isShared: boolean
}

/** More than any passphrase needs; what is longer is the wrong file. */
const mostBytes = 4096

const readDescriptor = promisify(read)
const statDescriptor = promisify(fstat)

/**
 * `/dev/fd/3` and `/dev/stdin` are read as the open descriptors that they name. Rejects with Node's system errors, and
 * `EFBIG` for more than 4 KiB.
 */
export async function readSecret(path: string): Promise<Secret> {
  const descriptor = descriptorOf(path)
  if (descriptor !== null) return readFrom(descriptor, false)
  const handle: FileHandle = await open(path, 'r')
  try {
    return await readFrom(handle.fd, true)
  } finally {
    await handle.close()
  }
}

function descriptorOf(path: string): number | null {
  if (process.platform === 'win32') return null
  if (path === '/dev/stdin') return 0
  const digits = /^\/dev\/fd\/(\d{1,9})$/.exec(path)?.[1]
  return digits === undefined ? null : Number(digits)
}

async function readFrom(descriptor: number, isNamed: boolean): Promise<Secret> {
  const stats = await statDescriptor(descriptor)
  // A pipe or socket that was handed over has no name under which others could open it, and its mode means nothing.
  const isOpenToOthers = isNamed || !(stats.isFIFO() || stats.isSocket())
  const isShared = process.platform !== 'win32' && isOpenToOthers && (stats.mode & 0o077) !== 0
  const buffer = Buffer.alloc(mostBytes + 1)
  let length = 0
  while (length < buffer.length) {
    const { bytesRead } = await readDescriptor(descriptor, buffer, length, buffer.length - length, null)
    if (bytesRead === 0) return { bytes: new Uint8Array(buffer.subarray(0, length)), isShared }
    length += bytesRead
  }
  const error: NodeJS.ErrnoException = new Error(`more than ${mostBytes} bytes`)
  error.code = 'EFBIG'
  throw error
}
