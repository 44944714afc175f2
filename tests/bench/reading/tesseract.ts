/** What to measure by: Debian's tesseract-ocr with its English data, one process a page as anybody would run it. */
import { spawn, spawnSync } from 'node:child_process'
import { writeFile } from 'node:fs/promises'
import { join } from 'node:path'

export const hasTesseract = (): boolean => {
  const { status, stdout } = spawnSync('tesseract', ['--list-langs'], { encoding: 'utf8' })
  return status === 0 && /^eng$/m.test(stdout)
}

/** The words of a picture, in the order of the program. `folder` takes the picture. */
export async function readByTesseract(bytes: Uint8Array, folder: string, name: string): Promise<string[]> {
  const path = join(folder, name)
  await writeFile(path, bytes)
  const tsv = await run(['tesseract', path, '-', '-l', 'eng', 'tsv'])
  return tsv
    .split('\n')
    .map((line) => line.split('\t'))
    .filter((fields) => fields[0] === '5' && (fields[11] ?? '').trim() !== '')
    .map((fields) => (fields[11] as string).trim())
}

function run([program = '', ...words]: readonly string[]): Promise<string> {
  return new Promise((resolve, reject) => {
    // With more threads it takes eight times as long on two cores.
    const env = { ...process.env, OMP_THREAD_LIMIT: '1' }
    const child = spawn(program, words, { env, stdio: ['ignore', 'pipe', 'ignore'] })
    const parts: Buffer[] = []
    child.stdout.on('data', (part: Buffer) => parts.push(part))
    child.on('error', reject)
    child.on('close', (status) => {
      if (status === 0) resolve(Buffer.concat(parts).toString('utf8'))
      else reject(new Error(`${program} ended with status ${status}`))
    })
  })
}
