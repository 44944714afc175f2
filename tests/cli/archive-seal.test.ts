/** Sealing and stamping what an archive keeps, as a custodian does it; verified by anybody's programs when it is handed over. */
import { execFileSync } from 'node:child_process'
import { cpSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { startTimeAuthority, type TimeAuthority } from '../../examples/time-authority.ts'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

// Each test starts several processes.
vi.setConfig({ testTimeout: 120_000 })

const scratch = mkdtempSync(join(tmpdir(), 'archive-seal-'))
const at = (...steps: string[]) => join(scratch, ...steps)
const run = (...words: string[]) =>
  runProgram(words, { cwd: scratch, environment: { WITNESSMARK_BY: 'Ada Quill', XDG_CACHE_HOME: at('cache') } })
const secret = ['--passphrase-file', 'passphrase']
const signing = ['--identity', 'desk.p12', ...secret]
const year = new Date().getUTCFullYear()
const number = (one: number) => `${year}-000${one}`
let authority: TimeAuthority

interface Shown {
  seals: {
    index: number
    act: string
    signer: string
    renewedBy: number | null
    files: { path: string; sha256: string }[]
  }[]
  submissions: { accession: string; follows: string | null; verdict: string | null }[]
  custody: { index: number; entry: { act: string; report?: string; by: { name: string; certificate?: string } } }[]
}
const show = async (one: number): Promise<Shown> =>
  JSON.parse((await run('archive', 'show', 'kept', number(one), '--json')).stdout)

beforeAll(async () => {
  authority = await startTimeAuthority()
  writeFileSync(at('passphrase'), 'quillwort övertone gable 71', { mode: 0o600 })
  const who = ['--name', 'Records desk', '--kind', 'ecdsa-p256', '--certificate', 'desk.pem']
  expect(await run('identity', 'create', 'desk.p12', ...who, ...secret)).toMatchObject({ status: 0 })
  writeFileSync(at('trusted.pem'), readFileSync(at('desk.pem'), 'utf8') + readFileSync(authority.root, 'utf8'))
  await run('archive', 'init', 'kept', '--origin', 'archive.example/bay')
  const first = join(root, 'examples', 'packets', 'windshield-camera')
  for (const packet of [first, `${first}-again`])
    expect(await run('archive', 'add', 'kept', packet, '--job', 'RO 7102')).toMatchObject({ status: 0 })
  mkdirSync(at('other'))
  writeFileSync(at('other', 'post.txt'), 'Post-repair scan: no codes\n')
  writeFileSync(at('alone.txt'), 'Post-repair scan: no codes left\n')
  expect(await run('seal', 'other', ...signing, '--output', 'bag')).toMatchObject({ status: 0 })
  await run('archive', 'add', 'kept', 'bag', '--no-check')
  await run('archive', 'add', 'kept', 'alone.txt')
}, 240_000)
afterAll(async () => {
  await authority.close()
  rmSync(scratch, { recursive: true, force: true })
})

describe('a packet that is kept', () => {
  test('is sealed with the report that was made of it, once', async () => {
    const sealed = await run('archive', 'seal', 'kept', number(1), number(4), ...signing, '--organization', 'Bay')
    expect(sealed).toMatchObject({ status: 0, stderr: '' })
    expect(sealed.stdout.match(/^Sealed: /gm)).toHaveLength(2)
    const again = await run('archive', 'seal', 'kept', number(1), ...signing)
    expect(again.stdout).toMatch(/is sealed already, by entry \d+\n$/)
    const { seals, custody } = await show(1)
    expect(seals).toHaveLength(1)
    expect(seals[0]).toMatchObject({ act: 'sealed', signer: 'CN=Records desk', renewedBy: null })
    const checked = custody.find(({ entry }) => entry.act === 'checked')
    expect(seals[0]?.files.find(({ path }) => path === 'report/report.json')?.sha256).toBe(checked?.entry.report)
    expect(seals[0]?.files.map(({ path }) => path)).toContain('report/rulebook/general.yaml')
    const entry = custody.find((one) => one.entry.act === 'sealed')?.entry
    const fingerprint = execFileSync('openssl', ['x509', '-in', at('desk.pem'), '-noout', '-fingerprint', '-sha256'])
    expect(entry?.by).toEqual({
      name: 'Ada Quill',
      certificate: String(fingerprint).split('=')[1]?.trim().replaceAll(':', '').toLowerCase(),
    })
  })

  test('has the time of its seal vouched for, and later again; what was there is kept', async () => {
    const stamping = ['--time-stamp', authority.url]
    expect((await run('archive', 'stamp', 'kept', number(1), ...stamping)).stdout).toMatch(
      /stamped by entry \d+: seal\.tsr/,
    )
    const twice = await run('archive', 'stamp', 'kept', number(1), ...stamping)
    expect(twice).toMatchObject({ status: 2 })
    expect(twice.stderr).toContain('add --renew')
    const renewed = await run('archive', 'stamp', 'kept', number(1), ...stamping, '--renew')
    expect(renewed.stdout).toContain('renewal-1/stamp.tsr')
    const { seals } = await show(1)
    expect(seals.map(({ act }) => act)).toEqual(['sealed', 're-stamped', 're-stamped'])
    expect(seals.map(({ renewedBy }) => renewedBy)).toEqual([seals[1]?.index, seals[2]?.index, null])
    expect(seals[1]?.files.map(({ path }) => path)).not.toContain('renewal-1/stamp.tsr')
    const text = (await run('archive', 'show', 'kept', number(1))).stdout.replaceAll(/\s+/g, ' ')
    expect(text).toContain('time stamps: renewal-1/stamp.tsr, seal.tsr')
  })

  test('that came as a bag is stamped as that, and not sealed', async () => {
    const refused = await run('archive', 'seal', 'kept', number(3), ...signing)
    expect(refused.stderr).toContain('came as a bag')
    const stamped = await run('archive', 'stamp', 'kept', number(3), '--time-stamp', authority.url)
    expect(stamped).toMatchObject({ status: 0 })
    expect((await show(3)).seals).toMatchObject([{ act: 're-stamped', signer: null }])
  })

  test('is verified with all that the archive keeps', async () => {
    const trusting = await run('archive', 'verify', 'kept', '--trust', 'trusted.pem')
    expect(trusting).toMatchObject({ status: 0 })
    expect(trusting.stdout).toContain('WARN 3 seals')
    // The bag of one file was never stamped, which is said of it alone.
    const { seals } = JSON.parse((await run('archive', 'verify', 'kept', '--trust', 'trusted.pem', '--json')).stdout)
    expect(seals.map(({ accession, verdict }: Record<string, string>) => `${accession} ${verdict}`)).toEqual([
      `${number(4)} warn`,
      `${number(1)} pass`,
      `${number(3)} pass`,
    ])
    const nobody = await run('archive', 'verify', 'kept')
    expect(nobody).toMatchObject({ status: 0 })
    expect(nobody.stdout.replaceAll(/\s+/g, ' ')).toContain('is on the trust list')
  })

  test('is handed over with its seals, which verify with the commands in them', async () => {
    const given = await run('archive', 'export', 'kept', number(1), '--to', 'Counsel', '--output', 'out')
    expect(given).toMatchObject({ status: 0, stderr: '' })
    const [folder = '', ...further] = readdirSync(at('out', 'data', 'seals', number(1)))
    expect(further).toEqual([])
    const bag = join('out', 'data', 'seals', number(1), folder)
    expect(await run('verify', bag, '--trust', 'trusted.pem')).toMatchObject({ status: 0 })
    const [own, authorities] = [at('desk.pem'), authority.root]
    for (const list of ['manifest-sha256.txt', 'tagmanifest-sha256.txt', 'renewal-1/manifest-sha512.txt'])
      execFileSync(`${list.includes('512') ? 'sha512sum' : 'sha256sum'}`, ['--check', '--strict', '--quiet', list], {
        cwd: at(bag),
      })
    const signed = ['-in', 'seal.p7s', '-content', 'tagmanifest-sha256.txt', '-CAfile', own, '-out', '/dev/null']
    execFileSync('openssl', ['cms', '-verify', '-binary', '-inform', 'DER', '-purpose', 'any', ...signed], {
      cwd: at(bag),
      stdio: 'pipe',
    })
    const stamped = ['-data', 'renewal-1/manifest-sha512.txt', '-in', 'renewal-1/stamp.tsr', '-CAfile', authorities]
    execFileSync('openssl', ['ts', '-verify', ...stamped], { cwd: at(bag), stdio: 'pipe' })
    const rows: Record<string, string>[] = parse(readFileSync(at('out', 'data', 'load-file.csv')), {
      bom: true,
      columns: true,
    })
    const seals = rows.filter(({ role }) => role === 'seal')
    expect(seals).toHaveLength(
      readdirSync(at(bag), { recursive: true, withFileTypes: true }).filter((one) => one.isFile()).length,
    )
    expect(readFileSync(at('out', 'README.txt'), 'utf8')).toContain('data/seals/NUMBER')
  })

  test('leaves its seals behind in a derived copy, because they hold what is taken out', async () => {
    const words = ['--to', 'x', '--redact', 'vin', '--output', 'derived']
    expect(await run('archive', 'export', 'kept', number(4), ...words)).toMatchObject({ status: 0 })
    expect(readdirSync(at('derived', 'data'))).not.toContain('seals')
    expect(readFileSync(at('derived', 'README.txt'), 'utf8')).not.toContain('data/seals')
  })

  test.each([
    ['has grown', (bytes: Buffer) => Buffer.concat([bytes, Buffer.from('# more\n')])],
    [
      'has one byte changed',
      (bytes: Buffer) => Buffer.from(bytes.map((byte, index) => (index === 3 ? byte ^ 1 : byte))),
    ],
  ])('is not sealed where a file of it %s, and nothing is logged', async (_, spoil) => {
    cpSync(at('kept'), at('hurt'), { recursive: true })
    const { contents } = JSON.parse((await run('archive', 'show', 'hurt', number(2), '--json')).stdout)
    const digest: string = contents.find(({ path }: { path: string }) => path === 'packet.yaml').sha256
    const objects = readdirSync(at('hurt', 'objects'), { recursive: true }).map(String)
    const object = at('hurt', 'objects', objects.find((one) => one.endsWith(digest.slice(2))) ?? '')
    const bytes = readFileSync(object)
    rmSync(object)
    writeFileSync(object, spoil(bytes))
    const log = () => run('custody', 'log', 'hurt', '--json')
    const before = await log()
    const refused = await run('archive', 'seal', 'hurt', number(2), ...signing)
    expect(refused).toMatchObject({ status: 2, stdout: '' })
    expect(refused.stderr).toContain('not what was received')
    expect(await log()).toEqual(before)
    rmSync(at('hurt'), { recursive: true, force: true })
  })

  test('that was stamped in vain is sealed all the same, and says so', async () => {
    const sealed = await run('archive', 'seal', 'kept', number(2), ...signing, '--time-stamp', 'http://127.0.0.1:9')
    expect(sealed).toMatchObject({ status: 1 })
    expect(sealed.stderr).toContain(`${number(2)} is sealed without a time stamp`)
    expect(sealed.stderr).toContain(`witnessmark archive stamp kept ${number(2)} --time-stamp URL`)
    expect((await show(2)).seals).toHaveLength(1)
  })
})

describe('what is not sealed or stamped', () => {
  test.each([
    [['seal', 'kept', number(1)], 'needs to know who seals'],
    [['seal', 'kept', ...signing], 'which packets are meant'],
    [['seal', 'kept', '1999-0001', ...signing], 'has no packet 1999-0001'],
    [['stamp', 'kept', number(1)], 'an authority to ask'],
    [['stamp', 'kept', number(1), '--time-stamp', 'ftp://x'], 'ftp://x'],
    [['seal', 'nowhere', number(1), ...signing], 'There is no archive in nowhere'],
  ])('%j is answered with what to mend', async (words, said) => {
    const answer = await run('archive', ...words)
    expect(answer).toMatchObject({ status: 2 })
    expect(answer.stderr).toContain(said)
    expect(answer.stderr).toContain('to mend it:')
  })

  test('was checked by a rulebook that is not here, or never', async () => {
    writeFileSync(at('own.yaml'), 'rulebook: 1\nname: own\nversion: 1.0.0\neffective: 2026-01-01\nextends: general\n')
    writeFileSync(at('second.txt'), 'Post-repair scan: 3 codes\n')
    expect(await run('archive', 'add', 'kept', 'second.txt', '--rulebook', 'own.yaml')).toMatchObject({ status: 0 })
    const refused = await run('archive', 'seal', 'kept', number(5), ...signing)
    expect(refused.stderr).toContain('was checked by the rulebook own')
    const words = ['archive', 'seal', 'kept', number(5), ...signing, '--rulebook', 'own.yaml']
    expect(await run(...words)).toMatchObject({ status: 0 })
    const paths = (await show(5)).seals[0]?.files.map(({ path }) => path)
    expect(paths).toEqual(expect.arrayContaining(['report/rulebook/own.yaml', 'report/rulebook/general.yaml']))
    writeFileSync(at('third.txt'), 'Post-repair scan: 4 codes\n')
    await run('archive', 'add', 'kept', 'third.txt', '--no-check')
    expect((await run('archive', 'seal', 'kept', number(6), ...signing)).stderr).toContain('was never checked')
  })
})

describe('submissions of one job', () => {
  test('are told with each of them', async () => {
    const { submissions } = await show(2)
    expect(submissions).toMatchObject([
      { accession: number(1), follows: null, verdict: 'fail' },
      { accession: number(2), follows: number(1), verdict: 'pass' },
    ])
    expect((await show(1)).submissions).toEqual(submissions)
    expect((await run('archive', 'show', 'kept', number(1))).stdout).toContain('Submissions of this job')
    expect((await run('archive', 'show', 'kept', number(4))).stdout).not.toContain('Submissions of this job')
  })

  test('are compared by their numbers, the last with the one before it; the looks are logged', async () => {
    const looks = async (one: number) => (await show(one)).custody.filter(({ entry }) => entry.act === 'viewed').length
    const before = [await looks(1), await looks(2)]
    const alone = await run('compare', number(2), '--archive', 'kept')
    expect(alone).toMatchObject({ status: 0 })
    expect(alone.stdout).toMatch(/^FAIL → PASS Changes from windshield-camera to windshield-camera-again\n/)
    const both = await run('compare', number(1), number(2), '--archive', 'kept')
    expect(both.stdout).toBe(alone.stdout)
    // The look by `show` that counted is one of them.
    expect([await looks(1), await looks(2)]).toEqual(before.map((count) => count + 3))
    const folder = await run(
      'compare',
      number(1),
      join(root, 'examples/packets/windshield-camera'),
      '--archive',
      'kept',
    )
    expect(folder.stdout.replaceAll(/\s+/g, ' ')).toContain('Both hold the same files under the same names')
  })

  test.each([
    [[number(1), '--archive', 'kept'], `${number(2)} follows it`],
    [[number(4), '--archive', 'kept'], 'follows no other packet'],
    [['1999-0001', '--archive', 'kept'], 'has no packet 1999-0001'],
    [['a', 'b', '--archive', 'kept'], 'no packet of the archive is named'],
    [[number(2)], 'needs BEFORE AFTER'],
    [['a', 'b', '--why', 'x'], 'go with --archive'],
    [[number(2), '--archive', 'kept', '--output', 'kept/x.html'], 'lies inside'],
  ])('%j cannot be compared', async (words, said) => {
    const answer = await run('compare', ...words)
    expect(answer).toMatchObject({ status: 2, stdout: '' })
    expect(answer.stderr).toContain(said)
  })
})
