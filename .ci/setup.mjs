// Installs what the lockfile pins when it is not there yet, and builds the desk's page when its source is newer, so that
// `npm start` and `npm test` are all the set-up.
// Plain JavaScript without dependencies: it runs on whatever Node.js the machine has.
import { spawnSync } from 'node:child_process'
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { join } from 'node:path'

const installed = 'node_modules/.package-lock.json'
const wanted = JSON.parse(readFileSync('package-lock.json', 'utf8')).packages
const isCurrent = () => {
  if (!existsSync(installed) || !existsSync('node_modules/.bin/node')) return false
  const have = JSON.parse(readFileSync(installed, 'utf8')).packages
  return Object.entries(wanted).every(
    ([path, { version, optional }]) => path === '' || optional || have[path]?.version === version,
  )
}

if (!isCurrent()) {
  process.stderr.write('Installing the pinned packages (npm ci) …\n')
  const { status } = spawnSync('npm', ['ci', '--no-audit', '--no-fund'], {
    stdio: ['ignore', 2, 2],
    shell: process.platform === 'win32',
  })
  if (status !== 0) {
    process.stderr.write('npm ci failed: see above. The machine needs npm and a package registry it can reach.\n')
    process.exit(status ?? 1)
  }
}

const page = 'dist/page/index.html'
const timeOf = (path) => statSync(path).mtimeMs
const filesIn = (folder) =>
  readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesIn(join(folder, entry.name)) : [join(folder, entry.name)],
  )
const madeOf = () => [
  ...filesIn('src/desk/page'),
  'src/desk/contract.ts',
  '.config/vite.config.ts',
  'package-lock.json',
]

if (!existsSync(page) || madeOf().some((path) => timeOf(path) > timeOf(page))) {
  process.stderr.write('Building the page of the desk …\n')
  const node = join('node_modules', '.bin', process.platform === 'win32' ? 'node.cmd' : 'node')
  const { status } = spawnSync(node, ['.config/build-page.mjs'], {
    stdio: ['ignore', 2, 2],
    shell: process.platform === 'win32',
  })
  if (status !== 0) {
    process.stderr.write(
      'The page could not be built: see above. Everything but "witnessmark desk" works without it.\n',
    )
    process.exit(status ?? 1)
  }
}
