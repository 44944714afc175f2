/** How the desk's page is built: hashed names, nothing inline, and what PDFs need beside them, for a strict policy. */
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import react from '@vitejs/plugin-react'
import type { InlineConfig } from 'vite'

const root = dirname(dirname(fileURLToPath(import.meta.url)))

/** For Vite's `build`. `pdfFiles`: the address below which `build-page.mjs` puts the data of pdfjs. */
export const pageConfig = (pdfFiles: string): InlineConfig => ({
  configFile: false,
  root: join(root, 'src', 'desk', 'page'),
  publicDir: false,
  logLevel: 'warn',
  plugins: [react()],
  define: { 'import.meta.env.PDF_FILES': JSON.stringify(pdfFiles) },
  build: {
    outDir: join(root, 'dist', 'page'),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    // Browsers that cannot preload modules by themselves get none: a helper for them would be a script more.
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 600,
    target: 'es2022',
  },
})
