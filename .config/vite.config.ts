/** How the desk's page is built: hashed names, nothing inline, and what PDFs need beside them, for a strict policy. */
import { cpSync, readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import { build, type InlineConfig } from 'vite'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const pdfjs = join(root, 'node_modules', 'pdfjs-dist')

/** Builds the page into a folder, which is emptied first: the fonts, character maps and decoders of pdfjs go with it. */
export async function buildPage(outDir: string): Promise<void> {
  const { version } = JSON.parse(readFileSync(join(pdfjs, 'package.json'), 'utf8')) as { version: string }
  const pdfFolder = `assets/pdfjs-${version}`
  // Whatever a test runner or a shell says: React has slower parts for developers, which Vite would take up.
  const before = process.env.NODE_ENV
  process.env.NODE_ENV = 'production'
  try {
    await build(describeBuild(outDir, `/${pdfFolder}/`))
  } finally {
    if (before === undefined) delete process.env.NODE_ENV
    else process.env.NODE_ENV = before
  }
  for (const part of ['cmaps', 'standard_fonts', 'wasm', 'iccs'])
    cpSync(join(pdfjs, part), join(outDir, pdfFolder, part), { recursive: true })
}

const describeBuild = (outDir: string, pdfFiles: string): InlineConfig => ({
  configFile: false,
  root: join(root, 'src', 'desk', 'page'),
  publicDir: false,
  logLevel: 'warn',
  plugins: [react()],
  define: { 'import.meta.env.PDF_FILES': JSON.stringify(pdfFiles) },
  build: {
    outDir,
    emptyOutDir: true,
    assetsInlineLimit: 0,
    // Browsers that cannot preload modules by themselves get none: a helper for them would be a script more.
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 600,
    target: 'es2022',
  },
})
