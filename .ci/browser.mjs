// Puts Chromium there for the tests that try pages in it, where it is missing and this may be done: Debian, as root.
// Elsewhere the tests themselves say what to install.
import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'

const isThere = existsSync(process.env.CHROMIUM || '/usr/bin/chromium')
if (!isThere && process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
  process.stderr.write('Installing Chromium for the tests of pages (apt-get) …\n')
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
  const run = (...words) => spawnSync('apt-get', words, { stdio: ['ignore', 2, 2], env })
  run('update', '-qq')
  run('install', '-qq', '-y', '--no-install-recommends', 'chromium')
}
