/** Whom the user trusts: certificates and pinned fingerprints, from files of the user's own. */
import { X509Certificate } from 'node:crypto'
import { SealError } from './seal-error.ts'
import type { TrustList } from './signer.ts'

export interface TrustFile {
  /** For messages. */
  path: string
  data: Uint8Array
}

/**
 * One list of all files. A file is a certificate in DER, or text with certificates in PEM (RFC 7468) and fingerprints:
 * SHA-256 in hexadecimal, one a line, colons and spaces allowed, the rest of a line after `#` is a remark.
 * @throws SealError `trust-unusable` for a file that holds neither, and for a line that is none of these.
 */
export function readTrustFiles(files: readonly TrustFile[]): TrustList {
  const lists = files.map(readTrustFile)
  return {
    certificates: lists.flatMap(({ certificates }) => certificates),
    fingerprints: lists.flatMap(({ fingerprints }) => fingerprints),
  }
}

/**
 * DER of an X.509 certificate begins with SEQUENCE and its length, which is no character of a text (X.690, 8.1.3 and 8.9:
 * 0x80 and above, for a certificate). The tag alone is the digit 0, with which a fingerprint may begin.
 */
const isDer = ([tag, length = 0]: Uint8Array): boolean => tag === 0x30 && !/[\s!-~]/.test(String.fromCharCode(length))

function readTrustFile({ path, data }: TrustFile): TrustList {
  if (isDer(data)) return { certificates: [readCertificate(path, data)], fingerprints: [] }
  const text = new TextDecoder().decode(data)
  const certificates: Uint8Array[] = []
  const rest = text.replaceAll(/-----BEGIN ([A-Z0-9 ]+)-----[\s\S]*?-----END \1-----/g, (block, label: string) => {
    if (label !== 'CERTIFICATE') throw unusable(path, `holds a ${label.toLowerCase()}, which is nobody to trust`)
    certificates.push(readCertificate(path, block))
    return block.replaceAll(/[^\n]/g, '')
  })
  const fingerprints = rest.split('\n').flatMap((line, index) => readFingerprint(path, line, index + 1))
  if (certificates.length + fingerprints.length === 0)
    throw unusable(path, 'holds neither a certificate nor a fingerprint')
  return { certificates, fingerprints }
}

function readCertificate(path: string, data: Uint8Array | string): Uint8Array {
  try {
    return new Uint8Array(new X509Certificate(data).raw)
  } catch (error) {
    throw unusable(path, `holds a certificate that cannot be read (${(error as Error).message})`)
  }
}

function readFingerprint(path: string, line: string, number: number): string[] {
  const words = line.replace(/#.*/, '').trim()
  if (words === '') return []
  const digits = words.replaceAll(/[\s:]/g, '').toLowerCase()
  if (/^[0-9a-f]{64}$/.test(digits)) return [digits]
  const what = /^[0-9a-f:\s]+$/i.test(words)
    ? `${digits.length} hexadecimal digits instead of 64`
    : 'neither a certificate nor a fingerprint'
  throw unusable(path, `has ${what} in line ${number}`)
}

const unusable = (path: string, because: string): SealError =>
  new SealError(
    'trust-unusable',
    path,
    `the trust list ${path} ${because}`,
    'Give certificates in PEM or DER, or SHA-256 fingerprints, one a line.',
  )
