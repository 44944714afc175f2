/** Sealing as a user does it, and verifying as anybody does: with our command, and with the commands in the bag alone. */
import { execFileSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Ajv2020 } from 'ajv/dist/2020.js'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { startTimeAuthority, type TimeAuthority } from '../../examples/time-authority.ts'
import schema from '../../schemas/seal.schema.json' with { type: 'json' }
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const packet = join(root, 'examples', 'packets', 'windshield-camera')
const scratch = mkdtempSync(join(tmpdir(), 'sealing-'))
const at = (...steps: string[]) => join(scratch, ...steps)
let authority: TimeAuthority

/** Runs in the scratch folder. */
const run = (...words: string[]) => runProgram(words, { cwd: scratch })
const signing = ['--identity', 'desk.p12', '--passphrase-file', 'passphrase']

beforeAll(async () => {
  authority = await startTimeAuthority()
  writeFileSync(at('passphrase'), 'quillwort övertone gable 71', { mode: 0o600 })
  const who = ['--name', 'Records desk', '--organization', 'Larkfield Sensor Works', '--kind', 'ecdsa-p256']
  const made = await run(
    ...['identity', 'create', 'desk.p12', ...who, '--certificate', 'signers.pem'],
    ...signing.slice(2),
  )
  expect(made).toMatchObject({ status: 0 })
  cpSync(authority.root, at('authorities.pem'))
  writeFileSync(at('trusted.pem'), readFileSync(at('signers.pem'), 'utf8') + readFileSync(authority.root, 'utf8'))
  const sealed = await run('seal', packet, ...signing, '--output', 'sealed', '--time-stamp', authority.url)
  expect(sealed).toMatchObject({ status: 0, stderr: '' })
  expect(sealed.stdout).toContain('Time stamp    seal.tsr')
}, 120_000)
afterAll(async () => {
  await authority.close()
  rmSync(scratch, { recursive: true, force: true })
})

/** The commands in the README of a bag, each run in the bag by a shell. */
function runReadme(bag: string): { command: string; status: number }[] {
  const readme = readFileSync(at(bag, 'README.txt'), 'utf8')
  return readme
    .split('\n')
    .filter((line) => line.startsWith('    '))
    .map((line) => {
      const command = line.trim()
      try {
        execFileSync('bash', ['-o', 'pipefail', '-c', command], { cwd: at(bag), stdio: 'ignore' })
        return { command, status: 0 }
      } catch {
        return { command, status: 1 }
      }
    })
}

const failing = (bag: string) => runReadme(bag).filter(({ status }) => status !== 0)

/** A copy of the bag with one thing changed. */
function spoil(name: string, change: (bag: string) => void): string {
  rmSync(at(name), { recursive: true, force: true })
  cpSync(at('sealed'), at(name), { recursive: true })
  change(at(name))
  return name
}

const flip = (file: string, index: number) => {
  const bytes = readFileSync(file)
  bytes[index] = (bytes[index] ?? 0) ^ 1
  writeFileSync(file, bytes)
}

describe('a sealed packet', { timeout: 240_000 }, () => {
  test('verifies in every part where signer and authority are trusted, and says so by its schema', async () => {
    const verified = await run('verify', 'sealed', '--trust', 'trusted.pem', '--json')
    expect(verified).toMatchObject({ status: 0, stderr: '' })
    const report = JSON.parse(verified.stdout)
    expect(report).toMatchObject({ verdict: 'pass', form: 'sealed' })
    const ajv = new Ajv2020({ allErrors: true, allowUnionTypes: true, validateFormats: false })
    const validate = ajv.compile(schema)
    expect(validate(report), JSON.stringify(validate.errors)).toBe(true)
  })

  test('is held to a revocation list of its authority, by the schema too', async () => {
    const { folder } = authority
    const own = '[ca]\ndefault_ca=own\n[own]\ndatabase=none.txt\ndefault_md=sha256\ndefault_crl_days=7\n'
    writeFileSync(join(folder, 'lists.cnf'), own)
    writeFileSync(join(folder, 'none.txt'), '')
    mkdirSync(at('lists'), { recursive: true })
    for (const name of ['root', 'middle'])
      execFileSync(
        'openssl',
        [
          ...['ca', '-gencrl', '-config', 'lists.cnf', '-cert', `${name}.pem`, '-keyfile', `${name}.key`],
          ...['-out', at('lists', `${name}.pem`)],
        ],
        { cwd: folder, stdio: 'pipe' },
      )
    const verified = await run('verify', 'sealed', '--trust', 'trusted.pem', '--revocation', 'lists', '--json')
    const report = JSON.parse(verified.stdout)
    const ajv = new Ajv2020({ allErrors: true, allowUnionTypes: true, validateFormats: false })
    const validate = ajv.compile(schema)
    expect(validate(report), JSON.stringify(validate.errors)).toBe(true)
    expect(report.revocations.map(({ file, code }: Record<string, string>) => `${file} ${code}`)).toEqual([
      'seal.p7s own-issuer',
      'seal.tsr not-revoked',
      'seal.tsr not-revoked',
    ])
    expect(report).toMatchObject({ verdict: 'pass' })
  })

  test('is open to doubt where nobody is trusted', async () => {
    const verified = await run('verify', 'sealed')
    expect(verified).toMatchObject({ status: 0 })
    expect(verified.stdout).toMatch(/^WARN/)
  })

  test('verifies by the commands of its own README, which refuse it when anything moved', () => {
    expect(runReadme('sealed').length).toBeGreaterThanOrEqual(8)
    expect(failing('sealed')).toEqual([])
    const payload = readdirSync(at('sealed', 'data')).find((name) => name.endsWith('.txt')) as string
    expect(failing(spoil('changed', (bag) => flip(join(bag, 'data', payload), 3)))).not.toEqual([])
    expect(failing(spoil('added', (bag) => writeFileSync(join(bag, 'data', 'more.txt'), 'more')))).not.toEqual([])
    expect(failing(spoil('removed', (bag) => rmSync(join(bag, 'data', payload))))).not.toEqual([])
    expect(failing(spoil('relisted', (bag) => flip(join(bag, 'tagmanifest-sha256.txt'), 70)))).not.toEqual([])
    const last = (file: string) => readFileSync(file).length - 1
    expect(failing(spoil('resigned', (bag) => flip(join(bag, 'seal.p7s'), last(join(bag, 'seal.p7s')))))).not.toEqual(
      [],
    )
    expect(failing(spoil('restamped', (bag) => flip(join(bag, 'seal.tsr'), last(join(bag, 'seal.tsr')))))).not.toEqual(
      [],
    )
  })

  test('is found broken by us, and nobody can have a statement of it', async () => {
    const bag = spoil('broken', (folder) => writeFileSync(join(folder, 'data', 'more.txt'), 'more'))
    const verified = await run('verify', bag, '--trust', 'trusted.pem')
    expect(verified).toMatchObject({ status: 1 })
    expect(verified.stdout).toContain('data/more.txt')
    expect(await run('statement', bag)).toMatchObject({ status: 1, stdout: '' })
    const stamped = await run('stamp', bag, '--renew', '--time-stamp', authority.url)
    expect(stamped).toMatchObject({ status: 2 })
    expect(stamped.stderr).toContain('is not what was sealed')
  })

  test('is checked as the packet that it holds, with its seal', async () => {
    // Not before the seal was made.
    const day = ['--as-of', new Date().toISOString().slice(0, 10), '--json']
    const [before, after] = await Promise.all([
      run('check', packet, ...day),
      run('check', 'sealed', ...day, '--trust', 'trusted.pem'),
    ])
    const [plain, sealed] = [JSON.parse(before.stdout), JSON.parse(after.stdout)]
    expect(sealed.digest).toBe(plain.digest)
    expect(sealed.documents).toEqual(plain.documents)
    const ofSeal = (report: { findings: { group: string; check: string; verdict: string }[] }) =>
      report.findings.filter(({ group }) => group === 'seal').map(({ check, verdict }) => `${check} ${verdict}`)
    expect(ofSeal(plain)).toEqual([
      'manifest-agrees not-checked',
      'seal-intact not-checked',
      'seal-timestamped not-checked',
      'seal-trusted not-checked',
    ])
    expect(ofSeal(sealed).sort()).toEqual([
      'manifest-agrees pass',
      'seal-intact pass',
      'seal-timestamped pass',
      'seal-trusted not-checked',
      'seal-trusted pass',
    ])
  })

  test('carries on by renewals, and each is proved', async () => {
    const bag = spoil('renewed', () => {})
    for (const number of [1, 2]) {
      const renewed = await run('stamp', bag, '--renew', '--time-stamp', authority.url, '--trust', 'trusted.pem')
      expect(renewed).toMatchObject({ status: 0, stderr: '' })
      expect(readdirSync(at(bag, `renewal-${number}`)).sort()).toEqual(['manifest-sha512.txt', 'stamp.tsr'])
    }
    const check = ['--check', '--strict', '--quiet', 'renewal-2/manifest-sha512.txt']
    execFileSync('sha512sum', check, { cwd: at(bag) })
    const verified = await run('verify', bag, '--trust', 'trusted.pem')
    expect(verified.stdout).toMatch(/^PASS/)
    expect(verified.stdout).toContain('2 later time stamps carry the proof on')
    flip(at(bag, 'renewal-1', 'stamp.tsr'), 200)
    expect(await run('verify', bag, '--trust', 'trusted.pem')).toMatchObject({ status: 1 })
  })

  test('has a statement that names every file and the digest of all', async () => {
    const stated = await run('statement', 'sealed', '--trust', 'trusted.pem')
    expect(stated).toMatchObject({ status: 0, stderr: '' })
    for (const name of readdirSync(packet)) expect(stated.stdout).toContain(name)
    expect(await run('statement', 'sealed', '--output', 'statement.pdf')).toMatchObject({ status: 0 })
    expect(readFileSync(at('statement.pdf')).subarray(0, 5).toString()).toBe('%PDF-')
  })
})

describe('as one zip', { timeout: 240_000 }, () => {
  test('seals, verifies, is stamped later and still verifies', async () => {
    expect(await run('seal', packet, ...signing, '--output', 'sealed.zip')).toMatchObject({ status: 0, stderr: '' })
    const unstamped = await run('verify', 'sealed.zip', '--trust', 'trusted.pem')
    expect(unstamped).toMatchObject({ status: 0 })
    expect(unstamped.stdout).toContain('No authority vouches for the time')
    expect(await run('stamp', 'sealed.zip', '--time-stamp', authority.url)).toMatchObject({ status: 0, stderr: '' })
    const verified = await run('verify', 'sealed.zip', '--trust', 'trusted.pem')
    expect(verified).toMatchObject({ status: 0 })
    expect(verified.stdout).toMatch(/^PASS/)
    expect(await run('stamp', 'sealed.zip', '--time-stamp', authority.url)).toMatchObject({ status: 2 })
  })
})

describe('what cannot be', { timeout: 240_000 }, () => {
  test.each([
    ['a bag that exists', ['seal', packet, ...signing, '--output', 'sealed'], 'exists already'],
    [
      'a bag inside the packet',
      ['seal', packet, ...signing, '--output', join(packet, 'bag')],
      'lies inside the packet',
    ],
    ['no identity', ['seal', packet, '--output', 'x'], 'needs to know who seals'],
    ['no bag to write', ['seal', packet, ...signing], 'needs a bag to write'],
    ['a bag as a packet', ['seal', 'sealed', ...signing, '--output', 'x'], 'is a bag already'],
    ['a place that is none', ['seal', packet, ...signing, '--output', 'nowhere/x'], 'does not exist'],
    ['an address that is none', ['seal', packet, ...signing, '--output', 'x', '--time-stamp', 'ftp://a'], 'no address'],
    ['a packet that is no bag', ['verify', packet], 'is no bag'],
    ['a trust list that is not there', ['verify', 'sealed', '--trust', 'none.pem'], 'does not exist'],
    [
      'a trust list that is none',
      ['verify', 'sealed', '--trust', 'passphrase'],
      'neither a certificate nor a fingerprint',
    ],
    ['a revocation file that is none', ['verify', 'sealed', '--revocation', 'passphrase'], 'neither a revocation list'],
    ['a revocation file that is not there', ['verify', 'sealed', '--revocation', 'none.crl'], 'does not exist'],
    ['a signed text', ['check', packet, '--sign', 'desk.p12'], 'is not signed'],
  ])('%s', async (_, words, because) => {
    const ending = await run(...words)
    expect(ending).toMatchObject({ status: 2, stdout: '' })
    expect(ending.stderr).toContain(because)
    expect(ending.stderr).toContain('to mend it: ')
    expect(readdirSync(scratch).filter((name) => name.includes('.tmp'))).toEqual([])
  })

  test('an authority that cannot be reached leaves a bag without a stamp, and says so', async () => {
    const sealed = await run('seal', packet, ...signing, '--output', 'unstamped', '--time-stamp', 'http://127.0.0.1:9/')
    expect(sealed).toMatchObject({ status: 1 })
    expect(sealed.stderr).toContain('sealed without a time stamp')
    expect(await run('verify', 'unstamped', '--trust', 'trusted.pem')).toMatchObject({ status: 0 })
  })
})

test('a report in PDF is signed', { timeout: 120_000 }, async () => {
  const words = ['check', packet, '--as-of', '2026-11-25', '--sign', 'desk.p12', ...signing.slice(2)]
  expect(await run(...words, '--time-stamp', authority.url, '--output', 'report.pdf')).toMatchObject({
    status: 1,
    stderr: '',
  })
  const told = execFileSync('pdfsig', ['-nocert', at('report.pdf')], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'ignore'],
  })
  expect(told).toContain('Signature is Valid')
  expect(told).toContain('Total document signed')
})
