/** Names of files in a packet: which are safe, and how to show the others. */
import type { FileProblemCode } from './evidence.ts'
import type { IntakeLimits } from './limits.ts'

/**
 * Characters that hide or reorder what a person sees: control characters, line and paragraph separators, bidirectional
 * controls (Unicode UAX 9, table 4), zero-width space and joiners of no visible effect, and the byte order mark.
 */
const misleading = /[\p{Cc}\u061c\u200b\u200e\u200f\u2028-\u202e\u2060-\u2069\ufeff\ufffd]|\p{Surrogate}/u
const eachMisleading = new RegExp(misleading.source, 'gu')

/** The name with every misleading character written as `\u{…}`, cut to 200 characters. */
export function showName(name: string): string {
  const shown = name.replace(eachMisleading, (found) => `\\u{${(found.codePointAt(0) ?? 0).toString(16)}}`)
  return shown.length > 200 ? `${shown.slice(0, 200)}…` : shown
}

/** UTF-8 bytes as text, or null where they are none. */
export function decodeName(name: Uint8Array): string | null {
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(name)
  } catch {
    return null
  }
}

/** Bytes that are no UTF-8, for showing only. */
export const showBytes = (name: Uint8Array): string =>
  showName(Array.from(name, (byte) => (byte < 0x80 ? String.fromCharCode(byte) : `\\x${byte.toString(16)}`)).join(''))

/** Why a path leaves its packet or names no place in it, or null. A path is relative and has forward slashes. */
export function findEscape(path: string): string | null {
  if (path === '') return 'has no name'
  if (path.includes('\0')) return 'holds a NUL character'
  if (/^(\\\\|\/\/)/.test(path)) return 'names another machine'
  if (path.startsWith('/') || path.startsWith('\\')) return 'is absolute'
  if (/^[A-Za-z]:/.test(path)) return 'begins with a drive letter'
  if (/(^|[/\\])\.\.([/\\]|$)/.test(path)) return 'leads out of the packet'
  if (path.includes('\\')) return 'has backslashes, which some systems take for folders'
  if (path.split('/').some((part) => part === '' || part === '.')) return 'has an empty step'
  return null
}

/** What is wrong with a path that stays in its packet, or null. */
export function findNameProblem(path: string, limits: IntakeLimits): { code: FileProblemCode; message: string } | null {
  const parts = path.split('/')
  const bytes = (text: string) => new TextEncoder().encode(text).length
  if (misleading.test(path)) {
    return { code: 'unsafe-name', message: `${showName(path)}: its name holds characters that hide or reorder text` }
  }
  if (bytes(path) > limits.pathBytes || parts.some((part) => bytes(part) > limits.nameBytes)) {
    return { code: 'name-too-long', message: `${showName(path)}: its name is too long` }
  }
  if (parts.length - 1 > limits.depth) {
    return { code: 'too-deep', message: `${showName(path)}: it lies more than ${limits.depth} folders deep` }
  }
  return null
}

/** Why a file is no evidence but a trace of an operating system or office program, or null. */
export function findJunkReason(path: string): string | null {
  const parts = path.split('/')
  const name = parts.at(-1) ?? ''
  if (parts.includes('__MACOSX')) return 'kept by a file archiver for its own use'
  if (/^\._/.test(name)) return 'attributes of another file, kept by the operating system'
  if (/^(\.DS_Store|desktop\.ini|Thumbs\.db|ehthumbs\.db)$/i.test(name))
    return 'folder view kept by the operating system'
  if (name.startsWith('~$')) return 'lock file of an office program'
  return null
}

/** Code units, the same on every machine. */
export const compareCodeUnits = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)
