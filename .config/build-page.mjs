// Builds the desk's page into dist/page/.
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { buildPage } from './vite.config.ts'

await buildPage(join(dirname(dirname(fileURLToPath(import.meta.url))), 'dist', 'page'))
