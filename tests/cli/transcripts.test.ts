/**
 * What stands in tests/transcripts is what a user sees, run as they stand. In one,
 *
 *     # begins a remark,
 *     $ witnessmark … is what the user types (words in double quotes may hold spaces), then follows standard output,
 *     ! begins a line of standard error,
 *     ? is the exit status, and ends the command.
 *
 * Those in tests/transcripts/kept are each played in an empty folder with the examples, tests/transcripts/files and a passphrase in it.
 * There KEY stands for the key that was printed last, and what differs from run to run is made alike: see `likeAnyRun`.
 *
 * `UPDATE_TRANSCRIPTS=1 npx vitest run --dir tests/cli` writes down what the program says now; read the difference
 * before you commit it.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram, type Setting } from './program.ts'

const folder = join(root, 'tests', 'transcripts')

interface Step {
  remarks: string[]
  command: string
  expected: string
}

function parseTranscript(text: string): Step[] {
  const steps: Step[] = []
  let remarks: string[] = []
  let command: string | null = null
  let lines: string[] = []
  for (const line of text.replace(/\n$/, '').split('\n')) {
    if (command === null && line.startsWith('$ ')) command = line.slice(2)
    else if (command === null) remarks.push(line)
    else {
      lines.push(line)
      if (!/^\? \d+$/.test(line)) continue
      steps.push({ remarks, command, expected: lines.join('\n') })
      remarks = []
      command = null
      lines = []
    }
  }
  if (command !== null) throw new Error(`the last command lacks its exit status: $ ${command}`)
  return steps
}

/** `a "b c" d` → `a`, `b c`, `d`. */
function splitWords(command: string): string[] {
  return [...command.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, bare]) => quoted ?? bare ?? '')
}

async function play(command: string, setting: Setting = {}, key = ''): Promise<string> {
  const [program, ...words] = splitWords(command)
  expect(program).toBe('witnessmark')
  const { status, stdout, stderr } = await runProgram(
    words.map((word) => (word === 'KEY' ? key : word)),
    setting,
  )
  const told = stderr
    .split('\n')
    .slice(0, -1)
    .map((line) => `! ${line}`.trimEnd())
  return [...stdout.split('\n').slice(0, -1), ...told, `? ${status}`].join('\n')
}

const keyShape = /\S+\+[0-9a-f]{8}\+[\w+/=]{44}/
const dayOf = (daysAgo: number): string => new Date(Date.now() - daysAgo * 864e5).toISOString().slice(0, 10)

/** Clock, chance and the sizes that follow from them, in their own width: keys, digests, times, today, this year, bytes. */
const likeAnyRun = (text: string): string =>
  text
    .replaceAll(new RegExp(keyShape, 'g'), (key) => `${key.slice(0, -54)}+xxxxxxxx+${'x'.repeat(44)}`)
    .replaceAll(/\b[0-9a-f]{8,}\b/g, (digest) => 'x'.repeat(digest.length))
    .replaceAll(/\b\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}(\.\d{3})?Z/g, '2026-11-25T10:00:00$1Z')
    .replaceAll(/10:00:00\.\d{3}Z/g, '10:00:00.000Z')
    .replaceAll(/\d{4}-\d{2}-\d{2}: \d+ days left/g, '2029-11-25: 1095 days left')
    .replaceAll(new RegExp(`${dayOf(0)}|${dayOf(1)}`, 'g'), '2026-11-25')
    .replaceAll(/\b\d{4}-(\d{4})\b/g, '2026-$1')
    .replaceAll(/\b\d+ bytes/g, '9999 bytes')

describe.each(listTranscripts(folder))('%s', (name) => {
  const { steps, hold } = openTranscript(join(folder, name))
  test.each(steps)('$command', { timeout: 300_000 }, async (step) => hold(step, await play(step.command)))
})

const kept = join(folder, 'kept')

describe.each(listTranscripts(kept))('kept/%s', (name) => {
  const { steps, hold } = openTranscript(join(kept, name))
  let [cwd, key] = ['', '']
  beforeAll(() => {
    cwd = mkdtempSync(join(tmpdir(), 'transcript-'))
    symlinkSync(join(root, 'examples'), join(cwd, 'examples'))
    cpSync(join(folder, 'files'), cwd, { recursive: true })
    writeFileSync(join(cwd, 'passphrase'), 'quillwort övertone gable 71\n', { mode: 0o600 })
  })
  afterAll(() => rmSync(cwd, { recursive: true, force: true }))

  test.each(steps)('$command', { timeout: 300_000 }, async (step) => {
    const environment = { WITNESSMARK_BY: 'Ada Quill', XDG_CACHE_HOME: join(cwd, 'cache') }
    const command = step.command.replaceAll(/\b2026-(?=\d{4}\b)/g, `${dayOf(0).slice(0, 4)}-`)
    const said = await play(command, { cwd, environment }, key)
    key = keyShape.exec(said)?.[0] ?? key
    hold(step, likeAnyRun(said))
  })
})

function listTranscripts(place: string): string[] {
  return readdirSync(place)
    .filter((name) => name.endsWith('.txt'))
    .sort()
}

/** The steps of a transcript; `hold` holds one to what was said, or writes that down where it is asked to. */
function openTranscript(path: string): { steps: Step[]; hold(step: Step, actual: string): void } {
  const steps = parseTranscript(readFileSync(path, 'utf8'))
  const hold = (step: Step, actual: string): void => {
    if (!process.env.UPDATE_TRANSCRIPTS) {
      expect(actual).toBe(step.expected)
      return
    }
    step.expected = actual
    const said = steps.map(({ remarks, command, expected }) => [...remarks, `$ ${command}`, expected].join('\n'))
    writeFileSync(path, `${said.join('\n')}\n`)
  }
  return { steps, hold }
}
