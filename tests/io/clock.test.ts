import { execFileSync } from 'node:child_process'
import { describe, expect, it } from 'vitest'
import { today } from '../../src/io/clock.ts'

describe('today', () => {
  // 02:30 UTC on 15 March is still the 14th in Denver (UTC-6 in summer), and noon of the 15th in Auckland's morning.
  it.each([
    ['America/Denver', '2026-03-14'],
    ['UTC', '2026-03-15'],
    ['Pacific/Kiritimati', '2026-03-15'],
  ])('is the date in the zone of the machine: %s', (zone, date) => {
    const script = `
      import { today } from ${JSON.stringify(new URL('../../src/io/clock.ts', import.meta.url).href)}
      process.stdout.write(today(new Date(Date.UTC(2026, 2, 15, 2, 30))))
    `
    const env = { ...process.env, TZ: zone }
    expect(execFileSync(process.execPath, ['--input-type=module', '-e', script], { env, encoding: 'utf8' })).toBe(date)
  })

  it('pads, and takes the present by default', () => {
    expect(today(new Date(987, 0, 2))).toBe('0987-01-02')
    expect(today()).toMatch(/^20\d\d-\d\d-\d\d$/)
  })
})
