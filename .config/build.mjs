// Emits what is published into dist/: JavaScript and its types by the compiler, data, schemas and examples as they are.
// The desk's page stands in dist/page already: .ci/setup.mjs builds it when its source is newer.
import { spawnSync } from 'node:child_process'
import { chmodSync, cpSync, readdirSync, rmSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const root = dirname(dirname(fileURLToPath(import.meta.url)))
const dist = join(root, 'dist')
for (const part of ['src', 'cli', 'schemas', 'examples', 'package.json'])
  rmSync(join(dist, part), { recursive: true, force: true })
const compiler = join(root, 'node_modules', '.bin', process.platform === 'win32' ? 'tsc.cmd' : 'tsc')
const { status } = spawnSync(compiler, ['-p', '.config/tsconfig.build.json'], {
  cwd: root,
  stdio: 'inherit',
  shell: process.platform === 'win32',
})
if (status !== 0) process.exit(status ?? 1)
for (const folder of readdirSync(join(root, 'src'), { withFileTypes: true, recursive: true })) {
  if (!folder.isFile() || !folder.name.endsWith('.yaml')) continue
  const from = join(folder.parentPath, folder.name)
  cpSync(from, join(dist, from.slice(root.length)))
}
cpSync(join(root, 'schemas'), join(dist, 'schemas'), { recursive: true })
cpSync(join(root, 'examples', 'packets'), join(dist, 'examples', 'packets'), { recursive: true })
chmodSync(join(dist, 'cli', 'main.js'), 0o755)
