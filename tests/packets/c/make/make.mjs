#!/usr/bin/env node
// Makes the packets again: node make.mjs [p01 ...]
// Needs Debian's chromium, libreoffice-writer-nogui, groff, ghostscript, imagemagick, libimage-exiftool-perl; pdfkit and @cantoo/pdf-lib come from the checkout.
import { mkdirSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const packets = join(dirname(fileURLToPath(import.meta.url)), '..')
const names = process.argv.slice(2)
for (const name of names.length ? names : ['p01', 'p02', 'p03', 'p04', 'p05']) {
  const folder = join(packets, name)
  rmSync(folder, { recursive: true, force: true })
  mkdirSync(join(folder, 'files'), { recursive: true })
  const { make } = await import(`./${name}.mjs`)
  const truth = await make((file) => join(folder, 'files', file))
  writeFileSync(join(folder, 'truth.json'), `${JSON.stringify(truth, null, 1)}\n`)
  console.log(name, Object.keys(truth.documents).length, 'documents')
}
