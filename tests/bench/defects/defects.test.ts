/**
 * A small run of the bench: planted defects are found, and clean packets raise no alarm. The floors stand beneath what was
 * reached (`npm run bench:defects` shows the figures by check), so that a change which loses a defect is seen.
 */
import { beforeAll, describe, expect, test } from 'vitest'
import { checks } from '../../../src/checks/index.ts'
import { planCases, plantCase } from './cases.ts'
import { defects } from './injectors/index.ts'
import { renderDraft } from './render.ts'
import { runCases } from './run.ts'
import type { Result } from './run-case.ts'
import { alarmsOnClean, formatTable, totalsOf } from './table.ts'

const LEAST_RECALL_OF_FAILS = 0.97
const LEAST_RECALL_OF_WARNS = 0.95
const MOST_NEEDLESS_WARNS = 2
const MOST_FALSE_FAILS = 0

const order = { seed: 11, count: 72, checks: new Set(checks.map(({ id }) => id)) }

describe('a run of the bench', () => {
  let results: Result[] = []

  beforeAll(async () => {
    results = await runCases(planCases(order), 2)
  }, 240_000)

  test('finds the planted defects', () => {
    const { packets, recallOfFails, recallOfWarns } = totalsOf(results)
    const table = formatTable(results, 40)
    expect(packets).toBeGreaterThan(60)
    expect(recallOfFails, table).toBeGreaterThanOrEqual(LEAST_RECALL_OF_FAILS)
    expect(recallOfWarns, table).toBeGreaterThanOrEqual(LEAST_RECALL_OF_WARNS)
  })

  test('raises hardly an alarm on clean packets', () => {
    const { clean, falseFails, needlessWarns } = totalsOf(results)
    const alarms = JSON.stringify(alarmsOnClean(results), null, 1)
    expect(clean).toBeGreaterThan(8)
    expect(falseFails, alarms).toBeLessThanOrEqual(MOST_FALSE_FAILS)
    expect(needlessWarns.complete, alarms).toBeLessThanOrEqual(MOST_NEEDLESS_WARNS)
    expect(needlessWarns.ordinary, alarms).toBeLessThanOrEqual(MOST_NEEDLESS_WARNS)
  })
})

test('there are at least 75 kinds of defect, each under a name of its own', () => {
  const names = defects.map(({ check, name }) => `${check}/${name}`)
  expect(new Set(names).size).toBe(names.length)
  expect(new Set(defects.map(({ check }) => check)).size).toBeGreaterThanOrEqual(60)
  expect(names.length).toBeGreaterThanOrEqual(120)
})

test('the same seed makes the same packet, to the byte', async () => {
  const [one] = planCases({ ...order, count: 12, only: 'vin-agrees' })
  const [first, second] = [plantCase(one!), plantCase(one!)]
  const [a, b] = [await renderDraft(first!.draft), await renderDraft(second!.draft)]
  expect([...a.keys()]).toEqual([...b.keys()])
  for (const [name, bytes] of a) expect(Buffer.from(bytes).equals(Buffer.from(b.get(name)!)), name).toBe(true)
})
