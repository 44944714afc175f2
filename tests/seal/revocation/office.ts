/** An authority of OpenSSL's with certificates beneath it, which makes revocation lists and answers, for tests. */
import { parseCertificate } from '../../../src/seal/certificates/certificate.ts'
import { readRevocationFiles } from '../../../src/seal/revocation/files.ts'
import { readTrustFiles } from '../../../src/seal/trust.ts'
import { type Desk, openDesk } from '../desk.ts'

const configuration = `
[ ca ]
default_ca = own
[ own ]
database = index.txt
default_md = sha256
default_crl_days = 7
crlnumber = crlnumber
[ req ]
distinguished_name = name
[ name ]
[ authority ]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign, cRLSign
subjectKeyIdentifier = hash
[ no-lists ]
basicConstraints = critical, CA:TRUE
keyUsage = critical, keyCertSign
subjectKeyIdentifier = hash
[ signing ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature
[ answering ]
basicConstraints = critical, CA:FALSE
keyUsage = critical, digitalSignature
extendedKeyUsage = OCSPSigning
noCheck = ignored
[ users ]
issuingDistributionPoint = critical, @only-users
[ only-users ]
onlyuser = TRUE
[ authorities ]
issuingDistributionPoint = critical, @only-authorities
[ only-authorities ]
onlyCA = TRUE
[ elsewhere ]
issuingDistributionPoint = critical, @point
[ point ]
fullname = URI:http://lists.example/other.crl
[ unknown ]
1.2.3.4.5 = critical, ASN1:NULL
`

export interface Office extends Desk {
  authority(name: string, subject: string, section?: string): void
  issue(name: string, issuer: string, subject: string, section: string, days?: number): void
  /** What the authority knows: of each certificate null, or when and why it was revoked (`260901000000Z,superseded`). */
  setIndex(entries: Readonly<Record<string, string | null>>): void
  /** Makes `NAME.crl` (DER) and `NAME.pem`. */
  list(name: string, issuer: string, ...options: string[]): void
  /** Makes `NAME.ors`, by the responder, about a certificate. */
  answer(name: string, about: { certificate: string; issuer: string }, responder: string): void
}

export function openOffice(later: (dispose: () => void) => void): Office {
  const desk = openDesk(later)
  desk.put('office.cnf', configuration.replace('noCheck = ignored\n', ''))
  desk.put('crlnumber', '01\n')
  const key = (name: string) =>
    desk.openssl('genpkey', '-algorithm', 'EC', '-pkeyopt', 'ec_paramgen_curve:P-256', '-out', `${name}.key`)
  const serialOf = (name: string) =>
    desk.openssl('x509', '-in', `${name}.pem`, '-noout', '-serial').replace('serial=', '').trim()
  return {
    ...desk,
    authority(name, subject, section = 'authority') {
      key(name)
      desk.openssl(
        ...['req', '-x509', '-new', '-key', `${name}.key`, '-days', '300', '-subj', subject, '-config', 'office.cnf'],
        ...['-extensions', section, '-out', `${name}.pem`],
      )
    },
    issue(name, issuer, subject, section, days = 200) {
      key(name)
      desk.openssl(
        ...['req', '-new', '-key', `${name}.key`, '-subj', subject, '-config', 'office.cnf', '-out', `${name}.csr`],
      )
      desk.openssl(
        ...['x509', '-req', '-in', `${name}.csr`, '-CA', `${issuer}.pem`, '-CAkey', `${issuer}.key`],
        ...['-CAcreateserial', '-days', String(days), '-extfile', 'office.cnf', '-extensions', section],
        ...['-out', `${name}.pem`],
      )
    },
    setIndex(entries) {
      const lines = Object.entries(entries).map(([name, revoked]) => {
        const state = revoked === null ? 'V' : 'R'
        return `${state}\t400101000000Z\t${revoked ?? ''}\t${serialOf(name)}\tunknown\t/CN=${name}\n`
      })
      desk.put('index.txt', lines.join(''))
    },
    list(name, issuer, ...options) {
      desk.openssl(
        ...['ca', '-gencrl', '-config', 'office.cnf', '-cert', `${issuer}.pem`, '-keyfile', `${issuer}.key`],
        ...[...options, '-out', `${name}.pem`],
      )
      desk.openssl('crl', '-in', `${name}.pem`, '-outform', 'DER', '-out', `${name}.crl`)
    },
    answer(name, { certificate, issuer }, responder) {
      desk.openssl(
        ...['ocsp', '-issuer', `${issuer}.pem`, '-cert', `${certificate}.pem`, '-no_nonce', '-reqout', 'request'],
      )
      desk.openssl(
        ...['ocsp', '-index', 'index.txt', '-rsigner', `${responder}.pem`, '-rkey', `${responder}.key`],
        ...['-CA', `${issuer}.pem`, '-reqin', 'request', '-ndays', '7', '-respout', `${name}.ors`],
      )
    },
  }
}

export const readCertificate = (office: Desk, name: string) => {
  const [der] = readTrustFiles([{ path: name, data: office.get(`${name}.pem`) }]).certificates
  if (der === undefined) throw new Error(`no certificate ${name}`)
  return parseCertificate(der)
}

export const readPieces = (office: Desk, ...names: string[]) =>
  readRevocationFiles(names.map((name) => ({ path: name, data: office.get(name) })))

/** As OpenSSL writes times: `261126140000Z`. */
export const writeShort = (date: Date): string =>
  `${date
    .toISOString()
    .replaceAll(/[-:T]|\.\d+/g, '')
    .slice(2)}`
