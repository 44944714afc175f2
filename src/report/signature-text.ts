/** A signature inside a PDF, as text for a person: whose it is, whether it holds, and what came after it. */
import type { PdfChange, PdfSignature } from '../facts/pdf-signature.ts'
import { groupFingerprint } from './seal-text.ts'
import { type Sheet, span } from './sheet.ts'

const titles = {
  approval: 'Signature',
  certification: "Signature of the file's author",
  'time-stamp': 'Time stamp over the file',
} as const

const states = { holds: 'holds', broken: 'DOES NOT HOLD', doubtful: 'open' } as const

const permissions = {
  nothing: 'no change at all',
  'filling-in': 'fields to be filled in, and signatures',
  comments: 'comments, fields to be filled in, and signatures',
} as const

const effects: Readonly<Record<PdfChange['effect'], string>> = {
  harmless: 'not seen',
  permitted: 'allowed for',
  unclear: 'may be seen',
  seen: 'SEEN',
}

/** Under a heading of its own. */
export function writeSignature(sheet: Sheet, signature: PdfSignature): void {
  const { kind, field, state, text, signer, trust, revocation, claimedTime, stamp, permits } = signature
  sheet.gap()
  sheet.write([span(field === null ? titles[kind] : `${titles[kind]} ${field}`, 'strong')])
  const line = (label: string, words: string | null | undefined) => {
    if (words) sheet.label(label, words, { indent: 2, column: 14 })
  }
  line('State', `${states[state]}: ${text}`)
  line('Signer', signer?.subject)
  line('Fingerprint', signer && `${groupFingerprint(signer.fingerprint)} (SHA-256)`)
  line('Trust', trust?.text)
  line('Revocation', revocation?.text)
  line('Signed', claimedTime && `${claimedTime}, says the signer`)
  line('Stamped', stamp?.time)
  line('Allows', permits && permissions[permits])
  line('Covers', describeCoverage(signature))
  for (const change of signature.changes) writeChange(sheet, change)
}

function describeCoverage({ covers, coveredBytes }: PdfSignature): string | null {
  if (covers === 'whole') return 'the whole file'
  return coveredBytes === null ? null : `the first ${coveredBytes} bytes; what came after:`
}

function writeChange(sheet: Sheet, { text, effect, before, after }: PdfChange): void {
  const words = before === null && after === null ? '' : `: “${before ?? ''}” then, “${after ?? ''}” now`
  sheet.write(`${text} (${effects[effect]})${words}`, { first: '  - ', rest: '    ' })
}
