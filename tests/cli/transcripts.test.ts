/**
 * What stands in tests/transcripts is what a user sees, run as they stand. In one,
 *
 *     # begins a remark,
 *     $ witnessmark … is what the user types (words in double quotes may hold spaces), then follows standard output,
 *     ! begins a line of standard error,
 *     ? is the exit status, and ends the command.
 *
 * `UPDATE_TRANSCRIPTS=1 npx vitest run --dir tests/cli` writes down what the program says now; read the difference
 * before you commit it.
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

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

async function play(command: string): Promise<string> {
  const [program, ...words] = splitWords(command)
  expect(program).toBe('witnessmark')
  const { status, stdout, stderr } = await runProgram(words)
  const told = stderr
    .split('\n')
    .slice(0, -1)
    .map((line) => `! ${line}`.trimEnd())
  return [...stdout.split('\n').slice(0, -1), ...told, `? ${status}`].join('\n')
}

describe.each(
  readdirSync(folder)
    .filter((name) => name.endsWith('.txt'))
    .sort(),
)('%s', (name) => {
  const path = join(folder, name)
  const steps = parseTranscript(readFileSync(path, 'utf8'))

  test.each(steps)('$command', { timeout: 300_000 }, async (step) => {
    const actual = await play(step.command)
    if (!process.env.UPDATE_TRANSCRIPTS) return expect(actual).toBe(step.expected)
    step.expected = actual
    const said = steps.map(({ remarks, command, expected }) => [...remarks, `$ ${command}`, expected].join('\n'))
    writeFileSync(path, `${said.join('\n')}\n`)
  })
})
