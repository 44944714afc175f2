// Puts the programs there that tests are held to, where they are missing and this may be done: Debian, as root. Elsewhere
// the tests themselves say what to install.
import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'

const packages = {
  chromium: 'chromium',
  openssl: 'openssl',
  pdfsig: 'poppler-utils',
  qpdf: 'qpdf',
  certutil: 'libnss3-tools',
  exiftool: 'libimage-exiftool-perl',
}

const isThere = (program) => (process.env.PATH ?? '').split(':').some((folder) => existsSync(`${folder}/${program}`))
const isNamed = (program) => program === 'chromium' && existsSync(process.env.CHROMIUM ?? '')
const missing = Object.keys(packages).filter((program) => !isNamed(program) && !isThere(program))
if (missing.length > 0 && process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
  process.stderr.write(`Installing ${missing.join(', ')} for the tests (apt-get) …\n`)
  const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' }
  const run = (...words) => spawnSync('apt-get', words, { stdio: ['ignore', 2, 2], env })
  run('update', '-qq')
  run('install', '-qq', '-y', '--no-install-recommends', ...missing.map((program) => packages[program]))
}
