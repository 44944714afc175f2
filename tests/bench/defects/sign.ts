/** Signs finished PDFs, and changes them after they were signed. The same file is signed with the same bytes every time. */
import { createHash, createPrivateKey, sign as signWith } from 'node:crypto'
import forge from 'node-forge'
import { signPdf } from '../../../src/seal/pdf/sign-pdf.ts'
import type { Signer } from '../../../src/seal/signer.ts'
import { appendUpdate, latin, listObjects } from './damage.ts'

/** A key drawn from numbers that are always the same: nobody should trust it. Made when it is first needed, in a second. */
function makeSigner(): Signer {
  let drawn = 0
  const getBytesSync = (count: number): string => {
    let bytes = ''
    while (bytes.length < count) bytes += createHash('sha256').update(`bench ${drawn++}`).digest().toString('latin1')
    return bytes.slice(0, count)
  }
  // The types leave out that the numbers may be handed in.
  const options = { bits: 2048, e: 0x10001, prng: { getBytesSync } } as forge.pki.rsa.GenerateKeyPairOptions
  const { privateKey, publicKey } = forge.pki.rsa.generateKeyPair(options)
  const certificate = forge.pki.createCertificate()
  certificate.publicKey = publicKey
  certificate.serialNumber = '01'
  certificate.validity.notBefore = new Date('2020-01-01T00:00:00Z')
  certificate.validity.notAfter = new Date('2035-01-01T00:00:00Z')
  const name = [{ name: 'commonName', value: 'Calibration bench' }]
  certificate.setSubject(name)
  certificate.setIssuer(name)
  certificate.setExtensions([{ name: 'keyUsage', critical: true, digitalSignature: true }])
  certificate.sign(privateKey, forge.md.sha256.create())
  const der = Buffer.from(forge.asn1.toDer(forge.pki.certificateToAsn1(certificate)).getBytes(), 'latin1')
  const key = createPrivateKey(forge.pki.privateKeyToPem(privateKey))
  return {
    certificate: new Uint8Array(der),
    issuers: [],
    algorithm: 'rsa-pkcs1',
    digest: 'sha-256',
    sign: async (bytes) => new Uint8Array(signWith('sha256', bytes, key)),
  }
}

let known: Signer | undefined

function benchSigner(): Signer {
  known ??= makeSigner()
  return known
}

/** Signed at `made`, in seconds since 1970. */
export const signFile = (pdf: Uint8Array, made: number): Promise<Uint8Array> =>
  signPdf(pdf, { signer: benchSigner(), time: new Date(made * 1000) })

/** A note in a box over the upper half of the first page. */
export function noteOver(signed: Uint8Array): Uint8Array {
  const text = latin(signed)
  const objects = listObjects(text)
  const found = [...objects].find(([, body]) => /\/Annots \[[^\]]*\]/.test(body) && /\/Type \/Page\b/.test(body))
  if (!found) throw new Error('the signed PDF has no page with annotations')
  const [number, page] = found
  const note = String(Math.max(...[...objects.keys()].map(Number)) + 1)
  const box = '/Rect [40 420 560 760] /Contents (All results: completed) /DA (/Helv 11 Tf 0 g) /F 4'
  const annotated = page.replace(/\/Annots \[([^\]]*)\]/, (_, old: string) => `/Annots [${old} ${note} 0 R]`)
  const changed = new Map([
    [number, annotated],
    [note, `<< /Type /Annot /Subtype /FreeText ${box} >>`],
  ])
  return new Uint8Array(Buffer.from(appendUpdate(text, changed), 'latin1'))
}

/** One letter of the name of the program that wrote it becomes another. */
export function alterSigned(signed: Uint8Array): Uint8Array {
  const altered = Uint8Array.from(signed)
  const text = latin(signed)
  const object = /\/Producer (\d+) 0 R/.exec(text)?.[1]
  const at =
    object === undefined ? text.indexOf('/Producer (') + 11 : text.indexOf('(', text.indexOf(`\n${object} 0 obj`)) + 1
  altered[at] = (altered[at] as number) ^ 1
  return altered
}
