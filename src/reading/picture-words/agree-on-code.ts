/** A trouble code read several times from a picture: the structure of a code decides what the readings have in common. */
import { formatTroubleCode, parseTroubleCode } from '../../facts/trouble-code-bytes.ts'
import { codeFromPicture, codesFromPicture } from '../../facts/trouble-code-look-alikes.ts'
import { trimMarks } from './doubt.ts'

/**
 * The reading that shows the one code which two of them allow; null where they allow none alike, and where another allows
 * a code that is not it. Of those that do, one that is a code as it stands comes first; what characters the others stand
 * for is told where a code is meant.
 */
export function agreeOnCode(readings: readonly string[]): string | null {
  const texts = readings.map(trimMarks).filter((text) => codesFromPicture(text).length > 0)
  const codes = texts.map((text) => {
    const code = codeFromPicture(text)
    return code === null ? null : formatTroubleCode(code)
  })
  const [first] = codes
  if (codes.length < 2 || first == null || codes.some((code) => code !== first)) return null
  return texts.find((text) => parseTroubleCode(text) !== null) ?? texts[0] ?? null
}
