/** An identity in words. */
import { type CertificateDescription, groupFingerprint, neutralise } from '../src/index.ts'

const dayLength = 86_400_000

/**
 * Whose the certificate is, until when, who vouches for it, and its fingerprint in lines to be read out. `issuers` are
 * those at hand, the nearest first; `keyFile` is where the private key lies, null where it is not at hand.
 */
export function renderIdentity(
  certificate: CertificateDescription,
  issuers: readonly CertificateDescription[],
  keyFile: string | null,
  now: Date,
): string {
  const { subject, email, key, fingerprint } = certificate
  const rows: [string, string][] = [
    ...[...subject].reverse().map(({ label, text }): [string, string] => [label, text]),
    ...(email === null || subject.some(({ text }) => text === email) ? [] : [['e-mail', email] as [string, string]]),
    ['key', describeKey(key)],
    ['private key', keyFile ?? 'not in this file'],
    ['valid', describeValidity(certificate, now)],
    ['vouched for by', describeIssuer(certificate, issuers)],
    ...splitLines(groupFingerprint(fingerprint)).map((line, at): [string, string] => [at === 0 ? 'SHA-256' : '', line]),
  ]
  const column = Math.max(...rows.map(([label]) => label.length)) + 2
  return rows.map(([label, text]) => `${`${capitalise(label)}`.padEnd(column)}${neutralise(text)}\n`).join('')
}

const capitalise = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1)

/** Four groups of eight digits a line. */
const splitLines = (groups: string): string[] => (groups.match(/.{1,36}/g) ?? []).map((line) => line.trim())

/** `rsa-3072` → `RSA, 3072 bits`; `ecdsa-p256` → `ECDSA, P-256`. */
function describeKey(key: string): string {
  const [, bits] = /^rsa-(\d+)$/.exec(key) ?? []
  if (bits !== undefined) return `RSA, ${bits} bits`
  const [, curve] = /^ecdsa-p(\d+)$/.exec(key) ?? []
  return curve === undefined ? key : `ECDSA, P-${curve}`
}

function describeValidity({ validFrom, validUntil }: CertificateDescription, now: Date): string {
  const span = `${formatDay(validFrom)} to ${formatDay(validUntil)}`
  if (now < validFrom) return `${span}: not yet`
  if (now > validUntil) return `${span}: ended`
  const days = Math.floor((validUntil.getTime() - now.getTime()) / dayLength)
  return `${span}: ${days} ${days === 1 ? 'day' : 'days'} left`
}

const formatDay = (time: Date): string => time.toISOString().slice(0, 10)

function describeIssuer(certificate: CertificateDescription, issuers: readonly CertificateDescription[]): string {
  if (certificate.isSelfIssued) return 'itself alone (self-signed): whoever checks must have the fingerprint from you'
  const nameOf = ({ text }: { text: string }) => text
  const named = (parts: CertificateDescription['issuer']) => [...parts].reverse().map(nameOf).join(', ')
  const chain = issuers.map((issuer) => named(issuer.subject))
  return chain.length === 0
    ? `${named(certificate.issuer)} (its certificate is not in the file)`
    : chain.join(', and that by ')
}
