// Installs what the lockfile pins when it is not there yet, so that `npm start` and `npm test` are all the set-up.
// Plain JavaScript without dependencies: it runs on whatever Node.js the machine has.
import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync } from 'node:fs'

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
