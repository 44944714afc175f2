import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { existsSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { type ReadingLimits, type ReadingPool, startReading } from '../../src/io/reading-process.ts'
import { measureResidentMemory } from '../../src/io/resident-memory.ts'

// Starting processes takes seconds where many tests run at once.
vi.setConfig({ testTimeout: 60_000 })

const MiB = 1024 * 1024
const misbehaving = new URL('./misbehaving-worker.ts', import.meta.url)
const pools: ReadingPool[] = []
afterEach(() => Promise.all(pools.splice(0).map((pool) => pool.close())))

function start(limits: Partial<ReadingLimits> = {}, worker?: URL): ReadingPool {
  const pool = startReading(limits, worker ? { worker } : {})
  pools.push(pool)
  return pool
}

/** Has the misbehaving worker do `what`; gives the first problem. */
async function ask(pool: ReadingPool, what: string): Promise<{ code: string; message: string } | undefined> {
  const reading = await pool.read(new Uint8Array(3), { path: what, media: 'text/plain' })
  return reading.problems[0]
}

const small = { processes: 1, milliseconds: 20_000, memoryBytes: 200 * MiB, heapMebibytes: 1024 }

describe('a file that breaks its reader', () => {
  const cases: [what: string, code: string, message: RegExp, limits?: Partial<ReadingLimits>][] = [
    ['hang', 'timed-out', /took more than 0.5 s/, { milliseconds: 500 }],
    ['silent', 'timed-out', /took more than 0.5 s/, { milliseconds: 500 }],
    ['allocate', 'out-of-memory', /took more than 200 MiB/],
    ['heap', 'out-of-memory', /took more than 64 MiB of heap/, { heapMebibytes: 64 }],
    ['exit', 'reader-crashed', /status 7/],
    ['abort', 'reader-crashed', /SIGABRT/],
    ['throw', 'reader-crashed', /status 1/],
    ['reject', 'reader-crashed', /status 1/],
    ['disconnect', 'reader-crashed', /ended/],
    ['garbage', 'reader-crashed', /something else than it was asked for/],
  ]
  it.each(cases)('%s: %s, and the next file is read', async (what, code, message, limits) => {
    const pool = start({ ...small, ...limits }, misbehaving)
    const broken = ask(pool, what)
    const after = ask(pool, 'well')
    await Promise.allSettled([broken, after])
    expect(await broken).toEqual({ code, message: expect.stringMatching(message) })
    expect((await broken)?.message).toMatch(new RegExp(`^${what} could not be read`))
    expect((await after)?.message).toMatch(/^3 bytes/)
  })

  it('is judged by what it does to a fresh process, not by what earlier files left behind', async () => {
    const pool = start(small, misbehaving)
    // Twice what it leaves behind is too much; each file alone is not.
    for (let round = 0; round < 3; round += 1) expect((await ask(pool, 'leak'))?.message).toBe('holds 1')
    expect((await ask(pool, 'exit'))?.code).toBe('reader-crashed')
  })

  it('takes its memory from the process alone: the parent stays small', async () => {
    const before = process.memoryUsage().rss
    await ask(start(small, misbehaving), 'allocate')
    expect(process.memoryUsage().rss - before).toBeLessThan(100 * MiB)
  })

  it('does not disturb files in other processes', async () => {
    const pool = start({ ...small, processes: 2, milliseconds: 1500 }, misbehaving)
    const hanging = ask(pool, 'hang')
    const others = await Promise.all([ask(pool, 'well'), ask(pool, 'well'), ask(pool, 'well')])
    expect(others.map((problem) => problem?.code)).toEqual(['heard', 'heard', 'heard'])
    expect((await hanging)?.code).toBe('timed-out')
  })

  it('is said of every file when the process cannot even start', async () => {
    const pool = start(small, new URL('./no-such-worker.ts', import.meta.url))
    const problems = await Promise.all([ask(pool, 'well'), ask(pool, 'well')])
    expect(problems.map((problem) => problem?.code)).toEqual(['reader-crashed', 'reader-crashed'])
  })

  it('is said of a file when the process does not start in time', async () => {
    const pool = start({ ...small, startMilliseconds: 1 }, misbehaving)
    expect(await ask(pool, 'well')).toMatchObject({ code: 'timed-out', message: expect.stringMatching(/to start$/) })
  })
})

describe('a reading process', () => {
  it('is one for many files', async () => {
    const pool = start(small, misbehaving)
    const answers = await Promise.all(Array.from({ length: 20 }, () => ask(pool, 'well')))
    expect(new Set(answers.map((answer) => answer?.message)).size).toBe(1)
  })

  it('prints nothing to the standard output of its parent', () => {
    const script = `
      import { startReading } from ${JSON.stringify(new URL('../../src/io/reading-process.ts', import.meta.url).href)}
      const pool = startReading({}, { worker: new URL(${JSON.stringify(misbehaving.href)}) })
      const { problems } = await pool.read(new Uint8Array(3), { path: 'print', media: 'text/plain' })
      process.stdout.write(problems[0].message)
    `
    // The pool is left open on purpose: an idle process must not keep its parent running.
    const { stdout, stderr, status } = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
      encoding: 'utf8',
      timeout: 20_000,
    })
    expect({ stdout, stderr, status }).toEqual({ stdout: 'printed', stderr: '', status: 0 })
  })

  it.each(['exit', 'SIGTERM', 'SIGINT'])('ends with its parent, even in an endless loop: %s', async (end) => {
    const script = `
      import { startReading } from ${JSON.stringify(new URL('../../src/io/reading-process.ts', import.meta.url).href)}
      const pool = startReading({ processes: 1 }, { worker: new URL(${JSON.stringify(misbehaving.href)}) })
      const { problems } = await pool.read(new Uint8Array(3), { path: 'well', media: 'text/plain' })
      process.stdout.write(problems[0].message.split(' ').at(-1))
      void pool.read(new Uint8Array(3), { path: 'hang', media: 'text/plain' })
      const end = ${JSON.stringify(end)}
      setTimeout(() => end === 'exit' ? process.exit(3) : process.kill(process.pid, end), 300)
    `
    const { stdout, status, signal } = spawnSync(process.execPath, ['--input-type=module', '-e', script], {
      encoding: 'utf8',
    })
    expect(end === 'exit' ? status : signal).toBe(end === 'exit' ? 3 : end)
    await expect.poll(() => isRunning(Number(stdout)), { timeout: 5000 }).toBe(false)
  })

  it('knows nothing of its parent’s environment, zone or secrets', async () => {
    process.env.WITNESSMARK_TEST_SECRET = 'x'
    const names: string[] = JSON.parse((await ask(start(small, misbehaving), 'environment'))?.message ?? '')
    delete process.env.WITNESSMARK_TEST_SECRET
    expect(names.filter((name) => !name.startsWith('NODE_CHANNEL_'))).toEqual(['TZ'])
  })

  it('may neither write files nor start programs', async () => {
    const pool = start(small, misbehaving)
    expect((await ask(pool, 'write'))?.message).toBe('ERR_ACCESS_DENIED')
    expect((await ask(pool, 'spawn'))?.message).toBe('ERR_ACCESS_DENIED')
    expect(existsSync('written-by-a-reader')).toBe(false)
  })

  it('answers for the file it was asked about, whatever else it says', async () => {
    expect((await ask(start(small, misbehaving), 'stranger'))?.message).toBe('for this file')
  })

  it('is gone after close, and what waited is rejected', async () => {
    const pool = startReading(small, { worker: misbehaving })
    const pid = Number((await ask(pool, 'well'))?.message.split(' ').at(-1))
    expect(isRunning(pid)).toBe(true)
    const waiting = Promise.allSettled([ask(pool, 'silent'), ask(pool, 'well')])
    await pool.close()
    expect((await waiting).map(({ status }) => status)).toEqual(['rejected', 'rejected'])
    expect(isRunning(pid)).toBe(false)
    await expect(ask(pool, 'well')).rejects.toThrow(/closed/)
  })

  it('takes large files whole, and small ones after them', async () => {
    const pool = start({ processes: 1 }, misbehaving)
    for (const length of [64 * MiB, 0, 1, 70_000]) {
      const bytes = new Uint8Array(length).map((_, index) => index % 251)
      const { problems } = await pool.read(bytes, { path: 'sum', media: 'x' })
      expect(problems[0]?.message).toBe(createHash('sha256').update(bytes).digest('hex'))
    }
  })
})

describe('the worker that ships', () => {
  it('reads, and says what it cannot', async () => {
    const pool = start()
    const read = (media: string) => pool.read(new Uint8Array(0), { path: 'a', media })
    const readings = await Promise.all(['application/x-empty', 'application/zip', 'text/html', 'odd'].map(read))
    expect(readings.map(({ media, problems }) => [media, problems[0]?.code])).toEqual([
      ['application/x-empty', 'empty-file'],
      ['application/zip', 'nested-archive'],
      ['text/html', 'unknown-format'],
      ['odd', 'unknown-format'],
    ])
  })

  it('stops at a file that is read at once and would take its parent minutes to understand', async () => {
    const pool = start({ processes: 1, milliseconds: 6000 })
    const ask = (text: string) => pool.read(new TextEncoder().encode(text), { path: 'a.txt', media: 'text/plain' })
    expect((await ask('C1A67-54 '.repeat(100_000))).problems).toMatchObject([{ code: 'timed-out' }])
    expect((await ask('C1A67-54 '.repeat(100))).problems).toEqual([])
  })
})

function isRunning(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch {
    return false
  }
}

it('measures the resident memory that Node reports of itself', async () => {
  const measured = (await measureResidentMemory(process.pid)) ?? 0
  const reported = process.memoryUsage.rss()
  expect(Math.abs(measured - reported)).toBeLessThan(64 * MiB)
  expect(await measureResidentMemory(2 ** 30)).toBeNull()
  expect(fileURLToPath(misbehaving)).toMatch(/misbehaving-worker\.ts$/)
})
