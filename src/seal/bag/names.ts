/**
 * Names of payload files that every file system and checksum tool takes as they are. `sha256sum -c` does not undo the
 * escapes of RFC 8493, so files are renamed, and their own names written down beside.
 */
import type { NamedFile } from '../../facts/original-names.ts'

/** Device names of Windows (CON, PRN, …), with any extension. */
const reserved = /^(con|prn|aux|nul|com\d|lpt\d)(\.|$)/i

const longestStep = 100

/** A path in the bag for each path as received: the same for the same list, and no two alike but for case. */
export function nameFiles(originals: readonly string[]): NamedFile[] {
  // A file must not take the name that a folder needs.
  const taken = new Set(originals.flatMap((original) => listFolders(cleanSteps(original))))
  return originals.toSorted(compare).map((original) => {
    const steps = cleanSteps(original)
    const last = steps.at(-1) as string
    const folder = ['data', ...steps.slice(0, -1)].join('/')
    for (let number = 1; ; number++) {
      const path = `${folder}/${number === 1 ? last : numberStep(last, number)}`
      if (taken.has(path.toLowerCase())) continue
      taken.add(path.toLowerCase())
      return { path, original }
    }
  })
}

const cleanSteps = (original: string): string[] => original.split('/').map(cleanStep)

const listFolders = (steps: readonly string[]): string[] =>
  steps.slice(0, -1).map((_, index) => ['data', ...steps.slice(0, index + 1)].join('/').toLowerCase())

export const compare = (one: string, other: string): number => (one < other ? -1 : one > other ? 1 : 0)

/** Accents go, spaces become hyphens, anything else an underscore. */
function cleanStep(step: string): string {
  const plain = step
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .replaceAll(/\s+/g, '-')
    .replaceAll(/[^A-Za-z0-9._-]/g, '_')
    .replace(/^[.-]+/, '_')
  const safe = plain === '' || reserved.test(plain) ? `_${plain}` : plain
  // A name that ends in a dot loses it on Windows.
  return (safe.length <= longestStep ? safe : shorten(safe)).replace(/\.+$/, '_')
}

function splitExtension(step: string): [string, string] {
  const extension = /(?<=.)\.[A-Za-z0-9]{1,8}$/.exec(step)?.[0] ?? ''
  return [step.slice(0, step.length - extension.length), extension]
}

function shorten(step: string): string {
  const [stem, extension] = splitExtension(step)
  return stem.slice(0, longestStep - extension.length) + extension
}

function numberStep(step: string, number: number): string {
  const [stem, extension] = splitExtension(step)
  return `${stem}_${number}${extension}`
}
