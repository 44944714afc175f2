// Builds the desk's page into dist/page/, with the fonts, character maps and decoders that pdfjs loads as it needs them.
import { cpSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { build } from 'vite'
import { pageConfig } from './vite.config.ts'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const pdfjs = join(root, 'node_modules', 'pdfjs-dist')
const { version } = JSON.parse(readFileSync(join(pdfjs, 'package.json'), 'utf8'))
const folder = `assets/pdfjs-${version}`

await build(pageConfig(`/${folder}/`))
for (const part of ['cmaps', 'standard_fonts', 'wasm', 'iccs'])
  cpSync(join(pdfjs, part), join(root, 'dist', 'page', folder, part), { recursive: true })
