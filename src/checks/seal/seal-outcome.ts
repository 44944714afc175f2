/** From a part of an examined seal to an outcome. */
import type { SealExamination, SealPart, SealPartName } from '../../facts/seal.ts'
import type { Packet } from '../../packet/packet.ts'
import type { DataValue, Outcome } from '../check.ts'

/** Faults named in an outcome; the examination itself lists them all. */
const mostNamed = 20

export const findPart = (seal: SealExamination, name: SealPartName): SealPart | null =>
  seal.parts.find(({ part }) => part === name) ?? null

/** The outcome of a packet without a signature: nobody claimed that it is sealed. */
export const notSealed = (packet: Packet): Outcome[] | null =>
  packet.seal?.form === 'sealed' ? null : [{ state: 'undecided', message: 'not-sealed', data: {}, evidence: [] }]

/** An outcome that says `because` in the words of the part, and points at the files that its faults are about. */
export function describePart(
  state: Outcome['state'],
  message: string,
  part: SealPart,
  data: Record<string, DataValue> = {},
): Outcome {
  const faults = part.faults.slice(0, mostNamed)
  const further = part.faults.length - faults.length
  const files = [...faults.map(({ text }) => text), ...(further > 0 ? [`${further} more`] : [])]
  const places = faults.map(({ file, text }) => ({ file, text }))
  const own = part.file === null ? [] : [{ file: part.file, text: part.text }]
  return {
    state,
    message,
    data: { because: files.length === 0 ? part.text : `${part.text}: ${files.join('; ')}`, ...data },
    evidence: [...own, ...places],
  }
}
