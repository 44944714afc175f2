import { existsSync } from 'node:fs'
import { expect, test } from 'vitest'
import { groups } from '../../src/checks/check.ts'
import { checks } from '../../src/checks/index.ts'

test('every check once, by group and then by id', () => {
  const order = [...checks].sort(
    (a, b) => groups.indexOf(a.group) - groups.indexOf(b.group) || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0),
  )
  const known = [...new Set(checks.map((check) => check.group))]
  for (const group of known) {
    const ids = checks.filter((check) => check.group === group).map((check) => check.id)
    expect(ids).toEqual(order.filter((check) => check.group === group).map((check) => check.id))
  }
  expect(new Set(checks.map((check) => check.id)).size).toBe(checks.length)
})

test.each(checks.map((check) => [check.id, check] as const))('%s is declared in full', async (id, check) => {
  const file = new URL(`../../src/checks/${check.group}/${id}.ts`, import.meta.url)
  expect(existsSync(file)).toBe(true)
  const name = id.replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase())
  expect((await import(file.href))[name]).toBe(check)
  expect(check.claim).toMatch(/^[A-Z].*\.$/)
  expect(check.remedy).toMatch(/^[A-Z].*\.$/)
  expect(Object.keys(check.exposes).length).toBeGreaterThan(0)
  // They follow "exposed to", and a list of them is read as one sentence.
  for (const risk of Object.values(check.exposes)) expect(risk).toMatch(/^[a-z].*[^.]$/)
  expect(check.suppliers.length).toBeGreaterThan(0)
  for (const line of check.collect) expect(line.text).toMatch(/^[A-Z“{].*[^.]$/)
  const states = new Set(Object.values(check.messages).map((message) => message.state))
  expect(states.has('met') && states.has('unmet') && states.has('undecided')).toBe(true)
  for (const [message, { text }] of Object.entries(check.messages)) {
    expect(message).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/)
    expect(text).toMatch(/[.)]$/)
  }
})
