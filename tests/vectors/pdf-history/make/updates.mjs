// node updates.mjs HERE WORK ALTERED UNALTERED: updates by pdf-lib, and signatures by OpenSSL through tests/seal/pdf/reading/signed-pdf.ts.

import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { PDFDocument, StandardFonts } from '@cantoo/pdf-lib'

const [, , here, work, altered, unaltered] = process.argv
const read = (name) => new Uint8Array(readFileSync(`${work}/${name}`))
const tests = process.env.TESTS ?? `${here}/../../..`
const { sign, setField } = await import(`${tests}/seal/pdf/reading/signed-pdf.ts`)

async function update(name, change) {
  const document = await PDFDocument.load(read(name), { forIncrementalUpdate: true, updateMetadata: false })
  await change(document)
  return document.commit ? document.commit() : document.save()
}
for (const name of ['lib', 'office', 'browser']) {
  const drawn = await update(`${name}.pdf`, async (document) => {
    const font = await document.embedFont(StandardFonts.Helvetica)
    document.getPage(0).drawText('Completed', { x: 300, y: 60, size: 10, font })
  })
  writeFileSync(`${altered}/${name}-words-added-update.pdf`, drawn)
  const titled = await update(`${name}.pdf`, async (document) => document.setKeywords(['radar']))
  writeFileSync(`${unaltered}/${name}-keywords-update.pdf`, titled)
}
const folder = mkdtempSync(`${tmpdir()}/sign-`)
execFileSync(
  'openssl',
  [
    'req',
    '-x509',
    '-newkey',
    'rsa:2048',
    '-nodes',
    '-keyout',
    `${folder}/k.pem`,
    '-out',
    `${folder}/c.pem`,
    '-days',
    '3650',
    '-subj',
    '/CN=bench of Larkfield Sensor Works',
  ],
  { stdio: 'ignore' },
)
const signer = (covered) => {
  writeFileSync(`${folder}/in`, covered)
  execFileSync('openssl', [
    'cms',
    '-sign',
    '-binary',
    '-in',
    `${folder}/in`,
    '-signer',
    `${folder}/c.pem`,
    '-inkey',
    `${folder}/k.pem`,
    '-outform',
    'DER',
    '-out',
    `${folder}/out`,
    '-md',
    'sha256',
  ])
  return new Uint8Array(readFileSync(`${folder}/out`))
}
const signed = await sign(read('lib.pdf'), { sign: signer })
writeFileSync(`${unaltered}/lib-signed.pdf`, signed)
writeFileSync(
  `${unaltered}/form-signed-twice.pdf`,
  await sign(await sign(read('form.pdf'), { sign: signer }), { field: 'Signature2', sign: signer }),
)
const filled = setField(read('form.pdf'), 'remark', 'left on the bay')
writeFileSync(`${unaltered}/form-filled-signed.pdf`, await sign(filled, { sign: signer }))
writeFileSync(
  `${altered}/form-signed-changed.pdf`,
  setField(await sign(read('form.pdf'), { sign: signer }), 'checked', 'no'),
)
