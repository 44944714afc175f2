/*
 * How many planted defects the checks find, and what they say of clean packets.
 *
 *   npm run bench:defects -- [--seed N] [--count N] [--only CHECK] [--clean] [--threads N] [--misses N] [--keep FOLDER]
 *
 * `--clean` makes clean packets alone, complete and ordinary. Jobs, papers and defects are drawn from the seed; nothing is read
 * but the program. `--keep` writes the packets of misses
 * and of alarms on clean packets to FOLDER, to be looked at.
 */
import { mkdir, writeFile } from 'node:fs/promises'
import { availableParallelism } from 'node:os'
import { join } from 'node:path'
import { parseArgs } from 'node:util'
import { checks } from '../../../src/checks/index.ts'
import { type Case, planCases, plantCase } from './cases.ts'
import { renderDraft } from './render.ts'
import { runCases } from './run.ts'
import { formatTable } from './table.ts'

const { values } = parseArgs({
  options: {
    seed: { type: 'string', default: '1' },
    count: { type: 'string', default: '1500' },
    only: { type: 'string' },
    clean: { type: 'boolean', default: false },
    threads: { type: 'string', default: String(Math.min(2, availableParallelism())) },
    misses: { type: 'string', default: '60' },
    keep: { type: 'string' },
  },
})

async function keepPacket(folder: string, one: Case): Promise<void> {
  const made = plantCase(one)
  if (!made) return
  const place = join(folder, `${one.seed} ${one.planted.join(' and ').replaceAll('/', ' ') || 'clean'}`)
  await mkdir(place, { recursive: true })
  for (const [name, bytes] of await renderDraft(made.draft)) await writeFile(join(place, name), bytes)
}

const ids = new Set(checks.map(({ id }) => id))
const cases = planCases({
  seed: Number(values.seed),
  count: Number(values.count),
  checks: ids,
  clean: values.clean,
  ...(values.only ? { only: values.only } : {}),
})
const results = await runCases(cases, Number(values.threads), (done) => {
  if (process.stderr.isTTY) process.stderr.write(`\r${done} of ${cases.length}`)
})
if (process.stderr.isTTY) process.stderr.write('\n')
console.log(formatTable(results, Number(values.misses)))

if (values.keep)
  for (const { case: one, planted, beside } of results) {
    const amiss = planted.length === 0 ? beside.length > 0 : planted.some(({ grade }) => grade !== 'found')
    if (amiss) await keepPacket(values.keep, one)
  }
