/** Runs the program as a user does: as a process of its own. */
import { spawn } from 'node:child_process'
import { join } from 'node:path'
import { root } from '../source-file.ts'

export interface Ending {
  status: number | null
  stdout: string
  stderr: string
}

export interface Setting {
  cwd?: string
  environment?: Record<string, string>
  /** The module to run; the source of the program when left out. */
  program?: string
}

/** The environment holds nothing but PATH and what is given, so that a test does not depend on the machine. */
export function runProgram(words: readonly string[], setting: Setting = {}): Promise<Ending> {
  const { cwd = root, environment = {}, program = join(root, 'cli', 'main.ts') } = setting
  return new Promise((resolve, reject) => {
    const child = spawn(process.execPath, [program, ...words], {
      cwd,
      env: { PATH: process.env.PATH, ...environment },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    const output: Buffer[] = []
    const errors: Buffer[] = []
    child.stdout.on('data', (chunk: Buffer) => output.push(chunk))
    child.stderr.on('data', (chunk: Buffer) => errors.push(chunk))
    child.on('error', reject)
    child.on('close', (status) => {
      resolve({ status, stdout: Buffer.concat(output).toString(), stderr: Buffer.concat(errors).toString() })
    })
  })
}
