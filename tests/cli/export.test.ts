/** Handing packets over: what leaves an archive, verified by the programs of anybody, and what does not leave it. */
import { execFileSync, spawn } from 'node:child_process'
import { createHash } from 'node:crypto'
import { cpSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { parse } from 'csv-parse/sync'
import { afterAll, beforeAll, describe, expect, test, vi } from 'vitest'
import { loadFileColumns } from '../../src/report/load-file.ts'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const scratch = mkdtempSync(join(tmpdir(), 'export-'))
const at = (...steps: string[]) => join(scratch, ...steps)
const run = (...words: string[]) =>
  runProgram(words, { cwd: scratch, environment: { WITNESSMARK_BY: 'Ada Quill', XDG_CACHE_HOME: at('cache') } })
const signing = ['--identity', 'desk.p12', '--passphrase-file', 'passphrase']
const reasons = ['--why', 'Letter before claim', '--authority', 'General counsel']
const formula = "=HYPERLINK('x').txt"

// Each test starts several processes.
vi.setConfig({ testTimeout: 60_000 })

let key = ''
let year = ''

beforeAll(async () => {
  const made = await run('archive', 'init', 'kept', '--origin', 'archive.example/bay')
  key = /archive\.example\/bay\+\S+/.exec(made.stdout)?.[0] ?? ''
  writeFileSync(at('passphrase'), 'quillwort övertone gable 71', { mode: 0o600 })
  const who = ['--name', 'Records desk', '--kind', 'ecdsa-p256', '--certificate', 'signers.pem']
  expect(await run('identity', 'create', 'desk.p12', ...who, ...signing.slice(2))).toMatchObject({ status: 0 })
  mkdirSync(at('odd'))
  writeFileSync(at('odd', formula), 'Nothing of note\n')
  writeFileSync(at('odd', '100 % ü.txt'), 'Nothing either\n')
  const drive = join(root, 'examples', 'packets', 'quick-drive')
  mkdirSync(at('other'))
  writeFileSync(at('other', 'ré port.txt'), 'Post-repair scan: no codes\n')
  expect(await run('seal', 'other', ...signing, '--output', 'sealed')).toMatchObject({ status: 0 })
  const packets = [drive, 'odd', 'sealed']
  for (const [index, packet] of packets.entries()) {
    const options = index === 0 ? [] : ['--no-check', '--claim', '+QM-1']
    expect(await run('archive', 'add', 'kept', packet, ...options)).toMatchObject({ status: 0 })
  }
  year = String(new Date().getUTCFullYear())
  expect(await run('archive', 'hold', 'kept', `${year}-0002`, '--matter', 'Ortega', ...reasons)).toMatchObject({
    status: 0,
  })
  const all = [1, 2, 3].map((one) => `${year}-000${one}`)
  const given = await run('archive', 'export', 'kept', ...all, '--to', 'Brook & Finch', '--output', 'out')
  expect(given).toMatchObject({ status: 0, stderr: '' })
  expect(given.stdout).toMatch(/Packets {7}3\n/)
}, 120_000)
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

/** Commands of the README that need no program of ours, each run in the folder of the export. */
function runReadme(bag: string): { command: string; status: number }[] {
  const lines = readFileSync(at(bag, 'README.txt'), 'utf8').split('\n')
  const commands = lines.filter((line) => /^ {4}(sha\d+sum|\(cd|openssl)/.test(line))
  expect(commands.length).toBeGreaterThanOrEqual(4)
  return commands.map((line) => {
    try {
      execFileSync('bash', ['-c', line.trim()], { cwd: at(bag), stdio: 'ignore' })
      return { command: line.trim(), status: 0 }
    } catch {
      return { command: line.trim(), status: 1 }
    }
  })
}

const sha256 = (path: string): string => createHash('sha256').update(readFileSync(path)).digest('hex')

const rowsOf = (bag: string): Record<string, string>[] =>
  parse(readFileSync(at(bag, 'data', 'load-file.csv')), { bom: true, columns: true })

const entriesOf = (bag: string): string[] =>
  readdirSync(at(bag, 'custody')).filter((name) => name.startsWith('entry-') && name.endsWith('.json'))

const history = async (): Promise<{ entry: Record<string, unknown> }[]> =>
  JSON.parse((await run('custody', 'log', 'kept', '--json')).stdout)

describe('an export', () => {
  test('is verified by the commands of its README, and a byte that was altered is found', () => {
    expect(runReadme('out').filter(({ status }) => status !== 0)).toEqual([])
    cpSync(at('out'), at('spoilt'), { recursive: true })
    const file = at('spoilt', 'data', 'packets', `${year}-0001`, 'data', 'packet.yaml')
    const bytes = readFileSync(file)
    bytes[3] = (bytes[3] ?? 0) ^ 1
    writeFileSync(file, bytes)
    const failing = runReadme('spoilt').filter(({ status }) => status !== 0)
    expect(failing.map(({ command }) => command)).toEqual([
      expect.stringContaining('--quiet manifest-sha256.txt'),
      expect.stringContaining('--quiet manifest-sha512.txt'),
      expect.stringContaining(`(cd data/packets/${year}-0001`),
    ])
  })

  test('lists every file in the load file, which other programs read', () => {
    const rows = rowsOf('out')
    expect(Object.keys(rows[0] ?? {})).toEqual([...loadFileColumns])
    for (const { path = '', sha256: digest, bytes } of rows) {
      expect(sha256(at('out', path))).toBe(digest)
      expect(readFileSync(at('out', path)).length).toBe(Number(bytes))
    }
    const invoice = rows.find((row) => row['original path'] === 'invoice 26-1266.pdf')
    expect(invoice).toMatchObject({
      accession: `${year}-0001`,
      role: 'evidence',
      kind: 'invoice',
      vin: '7XBME6DVXRC104729',
      job: 'RO 26-1266',
      claim: 'QM-552-01127',
      verdict: 'fail',
      holds: '',
    })
    expect(rows.filter(({ role }) => role === 'report').map(({ path }) => path)).toEqual([
      `data/reports/${year}-0001/report.json`,
      `data/reports/${year}-0001/report.html`,
    ])
  })

  test('lets nothing in the load file be a formula', () => {
    const odd = rowsOf('out').filter(({ accession }) => accession === `${year}-0002`)
    expect(odd.map((row) => [row['original path'], row.claim, row.holds])).toEqual([
      ['100 % ü.txt', "'+QM-1", 'H-0001'],
      [`'${formula}`, "'+QM-1", 'H-0001'],
    ])
    expect(readFileSync(at('out', odd[1]?.path ?? ''), 'utf8')).toBe('Nothing of note\n')
  })

  test('holds a bag that was received byte for byte', async () => {
    expect(() =>
      execFileSync('diff', ['-r', at('sealed'), at('out', 'data', 'packets', `${year}-0003`)], { stdio: 'pipe' }),
    ).not.toThrow()
    const seal = await run('verify', join('out', 'data', 'packets', `${year}-0003`), '--trust', 'signers.pem')
    expect(seal.status).toBe(0)
  })

  test('proves each act, its own too, to whoever knows the key of the log', async () => {
    const names = entriesOf('out')
    const acts = names.map((name) => JSON.parse(readFileSync(at('out', 'custody', name), 'utf8')))
    expect(acts.map(({ act }) => act)).toEqual([
      'begun',
      'received',
      'checked',
      'received',
      'received',
      'held',
      'exported',
    ])
    expect(acts.at(-1)).toMatchObject({
      accessions: [1, 2, 3].map((one) => `${year}-000${one}`),
      to: 'Brook & Finch',
      redacted: false,
      manifest: sha256(at('out', 'manifest-sha256.txt')),
    })
    for (const name of names)
      expect(await run('custody', 'verify', `out/custody/${name}`, '--log-key', key)).toMatchObject({ status: 0 })
    const last = names.at(-1) ?? ''
    const file = at('spoilt', 'custody', last)
    writeFileSync(file, readFileSync(file, 'utf8').replace('Brook', 'Crook'))
    const denied = await run('custody', 'verify', `spoilt/custody/${last}`, '--log-key', key)
    expect(denied).toMatchObject({ status: 1 })
  })

  test('of a hold, signed and in one zip, is the same bag', async () => {
    const given = await run(
      ...['archive', 'export', 'kept', '--hold', 'H-0001', '--to', 'Counsel', '--output', 'held.zip', ...signing],
    )
    expect(given).toMatchObject({ status: 0, stderr: '' })
    execFileSync('python3', ['-m', 'zipfile', '-e', 'held.zip', '.'], { cwd: scratch })
    expect(runReadme('held').filter(({ status }) => status !== 0)).toEqual([])
    expect(new Set(rowsOf('held').map(({ accession }) => accession))).toEqual(new Set([`${year}-0002`]))
    writeFileSync(
      at('held', 'tagmanifest-sha256.txt'),
      `${readFileSync(at('held', 'tagmanifest-sha256.txt'), 'utf8')}\n`,
    )
    expect(
      runReadme('held')
        .filter(({ status }) => status !== 0)
        .map(({ command }) => command.split(' ')[0]),
    ).toEqual(['openssl'])
  })

  test('of what is searched for holds that', async () => {
    const found = await run('archive', 'export', 'kept', '--verdict', 'fail', '--to', 'Insurer', '--output', 'found')
    expect(found).toMatchObject({ status: 0 })
    expect(new Set(rowsOf('found').map(({ accession }) => accession))).toEqual(new Set([`${year}-0001`]))
  })
})

describe('a derived copy', () => {
  const gone = ['7XMTD4FE4PA207483', '207483', '41-KR82', '41KR82', 'Della', 'Farrow', 'Owen', 'Strick']
  const what = ['--redact', 'vin,plate,people,places']

  /** Every file with its text: of a PDF, what poppler's pdftotext finds in it. */
  const textsOf = (bag: string): [string, string][] =>
    readdirSync(at(bag), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => join(entry.parentPath, entry.name))
      .map((path) => [
        path.slice(scratch.length),
        path.endsWith('.pdf')
          ? execFileSync('pdftotext', [path, '-'], { encoding: 'utf8' }) + readFileSync(path, 'latin1')
          : readFileSync(path, 'utf8'),
      ])

  test('holds nothing of what was to be taken out, and says of every file what it is', async () => {
    await run('archive', 'init', 'second', '--origin', 'archive.example/second')
    cpSync(join(root, 'examples', 'packets', 'bumper-and-radar'), at('7XMTD4FE4PA207483'), { recursive: true })
    writeFileSync(at('7XMTD4FE4PA207483', 'spelt.json'), '{"by": "\\u0046arrow"}')
    writeFileSync(at('7XMTD4FE4PA207483', 'note.bin'), Buffer.from([0, 1, 2, 3, 0, 255]))
    expect(await run('archive', 'add', 'second', '7XMTD4FE4PA207483')).toMatchObject({ status: 0 })
    const kept = readdirSync(at('second', 'objects'), { recursive: true }).length
    const given = await run('archive', 'export', 'second', `${year}-0001`, '--to', 'x', ...what, '--output', 'derived')
    expect(given).toMatchObject({ status: 0, stderr: '' })
    const texts = textsOf('derived')
    expect(texts.length).toBeGreaterThan(20)
    for (const [path, text] of texts) {
      const plain = `${path} ${text}`.replaceAll(/\b[0-9a-f]{32,}\b/g, '')
      expect(
        gone.filter((value) => new RegExp(`\\b${value}\\b`, 'i').test(plain)),
        path,
      ).toEqual([])
      expect(plain, path).not.toMatch(/lat="-?\d|lon="-?\d/)
    }
    expect(runReadme('derived').filter(({ status }) => status !== 0)).toEqual([])
    const rows = rowsOf('derived')
    for (const { path = '', role, note, 'original sha256': original } of rows.filter(({ role }) => role !== 'report')) {
      if (role === 'evidence') expect(path).toMatch(/\/derived-copy-[^/]+$/)
      expect(note).toMatch(role === 'evidence' ? /^derived copy; the sealed original is kept under/ : /^left out: /)
      expect(original).toMatch(/^[0-9a-f]{64}$/)
    }
    const left = rows.filter(({ role }) => role === 'left out').map((row) => row['original path'])
    expect(left).toEqual(
      expect.arrayContaining(['spelt.json', 'note.bin', 'IMG_3012 vin.jpg', 'IMG_3066 odometer.jpg']),
    )
    expect(rows.find(({ path = '' }) => path.endsWith('/derived-copy-front-radar-26-1183.pdf'))).toMatchObject({
      'original path': 'front radar 26-1183.pdf',
      role: 'evidence',
    })
    expect(readFileSync(at('derived', 'README.txt'), 'utf8')).toContain('DERIVED COPY')
    // The entry that tells the packet's name is left out; the archive keeps what it kept, and the lists of this export.
    expect(readFileSync(at('derived', 'README.txt'), 'utf8')).toMatch(/hold such data were left out: 1\./)
    expect((await run('archive', 'verify', 'second')).status).toBe(0)
    expect(readdirSync(at('second', 'objects'), { recursive: true }).length).toBeGreaterThanOrEqual(kept)
  }, 180_000)

  test('is made of what was checked, and of what can be taken out', async () => {
    const unchecked = await run('archive', 'export', 'kept', `${year}-0002`, '--to', 'x', ...what, '--output', 'a')
    expect(unchecked.stderr).toContain('was never checked')
    const unknown = await run(
      'archive',
      'export',
      'kept',
      '--hold',
      'H-0001',
      '--to',
      'x',
      '--redact',
      'vins',
      '--output',
      'a',
    )
    expect(unknown.stderr).toContain('--redact knows no "vins"')
    expect(existsSync(at('a'))).toBe(false)
  })
})

describe('nothing leaves', () => {
  test.each([
    [['--output', 'a'], 'who gets it'],
    [['--to', 'x'], 'a place to be written to'],
    [['--to', 'x', '--output', 'a'], 'which packets are meant'],
    [['--to', 'x', '--output', 'out', '--hold', 'H-0001'], 'exists already'],
    [['--to', 'x', '--output', 'kept/a', '--hold', 'H-0001'], 'lies inside'],
    [['--to', 'x', '--output', 'a', '--hold', 'H-0009'], 'There is no hold H-0009'],
    [['--to', 'x', '--output', 'a', '--hold', 'H-0001', '--vin', '7XBME6DVXRC104729'], 'in one way only'],
    [['--to', 'x', '--output', 'a', '--vin', '11111111111111111'], 'no packet fits'],
    [['--to', 'x', '--output', 'a', '--hold', 'H-0001', '--time-stamp', 'http://localhost'], 'over a signature'],
  ])('%j is answered with what to mend', async (words, said) => {
    const answer = await run('archive', 'export', 'kept', ...words)
    expect(answer).toMatchObject({ status: 2 })
    expect(answer.stderr).toContain(said)
    expect(existsSync(at('a'))).toBe(false)
  })

  test('where a content is not what was received, and the log then says nothing of it', async () => {
    cpSync(at('kept'), at('hurt'), { recursive: true })
    const [digest = ''] = rowsOf('out').flatMap((row) => (row['original path'] === 'packet.yaml' ? [row.sha256] : []))
    const held = readdirSync(at('hurt', 'objects'), { recursive: true }).map(String)
    const object = at('hurt', 'objects', held.find((path) => path.endsWith(digest.slice(2))) ?? '')
    const bytes = readFileSync(object)
    rmSync(object)
    writeFileSync(object, bytes.fill(bytes[0] === 65 ? 66 : 65, 0, 1))
    const answer = await run('archive', 'export', 'hurt', `${year}-0001`, '--to', 'x', '--output', 'a')
    expect(answer).toMatchObject({ status: 2 })
    expect(answer.stderr).toContain('not what was received')
    expect(readdirSync(scratch).filter((name) => /^\.?a(\.|$)/.test(name))).toEqual([])
    const log = JSON.parse((await run('custody', 'log', 'hurt', '--json')).stdout)
    expect(log).toHaveLength((await history()).length)
  })

  test('when it is killed on the way: what stands has its name only when it is whole', async () => {
    const words = ['archive', 'export', 'kept', `${year}-0001`, '--to', 'x', '--output', 'killed']
    for (const steps of [1, 8, 14]) {
      const child = spawn(process.execPath, [join(root, 'cli', 'main.ts'), ...words], {
        cwd: scratch,
        env: { PATH: process.env.PATH, WITNESSMARK_BY: 'Ada Quill' },
        stdio: 'ignore',
      })
      const ended = new Promise((resolve) => child.on('close', resolve))
      const look = setInterval(() => {
        const begun = readdirSync(scratch).find((name) => name.startsWith('.killed.'))
        const files = begun === undefined ? [] : readdirSync(at(begun), { recursive: true })
        if (files.length >= steps) child.kill('SIGKILL')
      }, 1)
      await ended
      clearInterval(look)
      if (existsSync(at('killed'))) {
        expect(runReadme('killed').filter(({ status }) => status !== 0)).toEqual([])
        rmSync(at('killed'), { recursive: true })
      }
    }
    expect((await run('archive', 'verify', 'kept')).stdout).not.toContain('FAIL')
  })
})
