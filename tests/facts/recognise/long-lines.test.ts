/** Lines that were made to be slow: the time to understand one must not grow with the square of its length. */
import { describe, expect, test } from 'vitest'
import { draw, page } from '../../reading/page-builder.ts'
import { recognisePages } from './recognised.ts'

/** Of the processor, so that what else the machine does counts little. */
function secondsFor(text: string, times: number): number {
  const words = page(draw(0, 40, text.repeat(times)), { width: 1_000_000 })
  const start = process.cpuUsage()
  recognisePages([words], 'scan')
  const { user, system } = process.cpuUsage(start)
  return (user + system) / 1e6
}

describe('thousands on one line', () => {
  // Each took minutes when every word was read to the end of its line.
  test.each(['VIN: ', 'Date ', 'Result: OK    '])(
    'of %s are read in seconds',
    (text) => {
      expect(secondsFor(text, 16_000)).toBeLessThan(40)
    },
    300_000,
  )

  test('codes are each read with what stands near them', () => {
    const text = `${'filler '.repeat(400)}C1A67-54 Missing calibration (Active)${' filler'.repeat(400)}`
    const { codes } = recognisePages([page(draw(0, 40, text), { width: 1_000_000 })], 'scan')
    expect(codes).toMatchObject([{ code: 'C1A67', failureType: '54', status: 'active' }])
  })
})
