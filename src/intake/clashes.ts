/** Paths that some system would take for one another. */
import { IntakeError } from './errors.ts'
import { showName } from './names.ts'

/** Close to Unicode full case folding, without a locale; NFC, so that composed and decomposed letters meet. */
const fold = (path: string): string => path.toUpperCase().toLowerCase().normalize('NFC')

/**
 * Refuses a packet in which two files have one path, paths that differ only in case, or in which a file stands where
 * another needs a folder: which of the two is the evidence would depend on the machine.
 * @throws IntakeError `duplicate-path`, `case-clash`.
 */
export function refuseClashes(paths: readonly string[]): void {
  const seen = new Map<string, string>()
  for (const path of paths) {
    const key = fold(path)
    const other = seen.get(key)
    if (other !== undefined) throw clash(path, other)
    seen.set(key, path)
  }
  for (const path of paths) {
    for (let slash = path.indexOf('/'); slash >= 0; slash = path.indexOf('/', slash + 1)) {
      const file = seen.get(fold(path.slice(0, slash)))
      if (file !== undefined) throw fileAndFolder(path, file)
    }
  }
}

function clash(path: string, other: string): IntakeError {
  const [shown, shownOther] = [showName(path), showName(other)]
  const mend = 'Find out which one belongs to the packet, and rename or remove the other.'
  return path.normalize('NFC') === other.normalize('NFC')
    ? new IntakeError('duplicate-path', shown, `two files have the name ${shown}`, mend)
    : new IntakeError('case-clash', shown, `${shown} and ${shownOther} differ only in upper and lower case`, mend)
}

const fileAndFolder = (path: string, file: string): IntakeError =>
  new IntakeError(
    'duplicate-path',
    showName(path),
    `${showName(file)} is a file, yet ${showName(path)} lies in it`,
    'Pack the folder again with an ordinary program.',
  )
