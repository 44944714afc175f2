/** The Public Key Interoperability Test Suite of NIST: certification paths. Source, and what is left out: pkits/SOURCE.md. */
import { describe, expect, test } from 'vitest'
import { type Certificate, parseCertificate } from '../../src/seal/certificates/certificate.ts'
import { findPath } from '../../src/seal/certificates/path.ts'
import { anyAlgorithm } from '../../src/seal/pdf/reading/index.ts'
import { nobody } from '../../src/seal/signer.ts'
import { casesOf, sections } from './pkits/cases.ts'
import { readNamed } from './read-cases.ts'

const files = readNamed('pkits/certs.jsonl')

/** Null for what is refused unread: a key of a kind that is unknown, a signature that is not whole octets. */
function read(name: string): Certificate | null {
  try {
    return parseCertificate(files.get(name) as Uint8Array)
  } catch (error) {
    if (error instanceof RangeError) return null
    throw error
  }
}

const carried = [...files.keys()].flatMap((name) => read(name) ?? [])
const trust = { ...nobody, certificates: [files.get('TrustAnchorRootCertificate') as Uint8Array] }
/** When the suite was new. */
const at = new Date('2012-01-01T00:00:00Z')

function isHeld(name: string): boolean {
  const leaf = read(name)
  if (leaf === null) return false
  return findPath({ leaf, carried, trust, at, purpose: 'document', policy: anyAlgorithm }).state === 'holds'
}

/** Those that fail by revocation alone. */
const byRevocation = /^4\.(4|14|15)\.|^4\.5\.[257]$|^4\.7\.[45]$/

/** By DSA, which we rely on in nothing. */
const unreliable: ReadonlySet<string> = new Set(['4.1.4', '4.1.5'])

describe.each(Object.keys(sections))('PKITS %s', (section) => {
  test.each(casesOf(section))('$number $name', ({ number, name, expected }) => {
    if (unreliable.has(number)) expect(isHeld(name)).toBe(false)
    else expect(isHeld(name)).toBe(expected || byRevocation.test(number))
  })
})
