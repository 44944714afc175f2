/**
 * Derived copies of the examples: no number of a vehicle and no place of a track that their own texts tell is found in any
 * byte that leaves, be it in a name, within a stream or a layer of text. What a picture shows is not looked at here.
 */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inflateRawSync, inflateSync } from 'node:zlib'
import { afterAll, expect, test } from 'vitest'
import { root } from '../source-file.ts'
import { runProgram } from './program.ts'

const scratch = mkdtempSync(join(tmpdir(), 'leaks-'))
afterAll(() => rmSync(scratch, { recursive: true, force: true }))

const filesIn = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name))

const examples = readdirSync(join(root, 'examples', 'packets')).map((name) => join(root, 'examples', 'packets', name))

const vinShaped = /\b(?=[A-Z]*\d)[A-HJ-NPR-Z0-9]{17}\b/g
const placeTold = /(?:lat|lon|latitude|longitude)["']?\s*[=:]\s*["']?-?(\d{1,3}\.\d{4,})/gi

/** What must be gone, as the packets themselves and their makers tell it: never as the program under test found it. */
function secretsOf(packets: readonly string[]): RegExp[] {
  const secrets = new Set<string>()
  for (const file of packets.flatMap(filesIn)) {
    if (!/\.(?:csv|txt|json|ya?ml|gpx|xml)$/i.test(file)) continue
    const text = readFileSync(file, 'utf8')
    for (const [vin] of text.matchAll(vinShaped)) addParts(secrets, vin)
    for (const [, place = ''] of text.matchAll(placeTold)) secrets.add(place)
    for (const [, name = ''] of text.matchAll(/^technician:\s*["']?([^"'\n]+)/gm)) addParts(secrets, name)
  }
  return [...secrets].map(
    (one) => new RegExp(`(?<![\\p{L}\\p{N}])${one.replaceAll('.', '\\.')}(?![\\p{L}\\p{N}])`, 'iu'),
  )
}

function addParts(secrets: Set<string>, told: string): void {
  if (/^[A-HJ-NPR-Z0-9]{17}$/.test(told)) for (const length of [17, 8, 6]) secrets.add(told.slice(-length))
  else if (/\d/.test(told)) secrets.add(told)
  else for (const part of told.split(/[^\p{L}\p{M}]+/u)) if (part.length >= 3) secrets.add(part)
}

/** Every text that a file may be read as: its bytes as they are, streams of its PDF and entries of its zip inflated. */
function textsOf(path: string): string[] {
  const bytes = readFileSync(path)
  const texts = [path.slice(scratch.length), bytes.toString('utf8'), bytes.toString('utf16le')]
  if (bytes.subarray(0, 5).toString('latin1') === '%PDF-') {
    texts.push(execFileSync('pdftotext', [path, '-'], { encoding: 'utf8' }))
    texts.push(execFileSync('pdfinfo', [path], { encoding: 'utf8' }))
  }
  const raw = bytes.toString('latin1')
  for (const { index } of raw.matchAll(/stream\r?\n|PK\x03\x04/g)) {
    const start = raw[index] === 's' ? index + (raw[index + 6] === '\r' ? 8 : 7) : index + 30
    for (const inflate of [inflateSync, inflateRawSync])
      try {
        texts.push(inflate(bytes.subarray(start)).toString('utf8'))
      } catch {
        // Not deflated: its bytes were searched.
      }
  }
  return texts
}

test('derived copies of the examples hold nothing of what was to be taken out', async () => {
  const [set, packets] = ['examples', examples] as const
  const environment = { WITNESSMARK_BY: 'Ada Quill', XDG_CACHE_HOME: join(scratch, 'cache') }
  const run = (...words: string[]) => runProgram(words, { cwd: scratch, environment })
  await run('archive', 'init', set, '--origin', `archive.example/${set}`)
  expect(await run('archive', 'add', set, ...packets)).toMatchObject({ status: 0 })
  const listed: { accession: string }[] = JSON.parse((await run('archive', 'list', set, '--json')).stdout)
  const numbers = listed.map(({ accession }) => accession)
  expect(numbers.length).toBeGreaterThan(0)
  const out = `${set}-out`
  const what = ['--redact', 'vin,plate,people,places', '--output', out]
  expect(await run('archive', 'export', set, ...numbers, '--to', 'x', ...what)).toMatchObject({ status: 0 })
  const secrets = secretsOf(packets)
  expect(secrets.length).toBeGreaterThan(5)
  const files = filesIn(join(scratch, out))
  expect(files.filter((path) => path.includes('derived-copy-')).length).toBeGreaterThan(packets.length)
  const leaks = files.flatMap((path) =>
    textsOf(path)
      .map((text) => text.replaceAll(/\b[0-9a-f]{32,}\b/g, ''))
      .flatMap((text) => secrets.filter((secret) => secret.test(text)).map((secret) => `${path}: ${secret.source}`)),
  )
  expect([...new Set(leaks)]).toEqual([])
}, 600_000)
