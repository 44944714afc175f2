import fc from 'fast-check'
import { expect, test } from 'vitest'
import { makeGate } from '../src/gate.ts'

test('never lets in more than it may, but for one that is larger, and lets everything in at last, in order', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.array(fc.integer({ min: 1, max: 30 }), { maxLength: 20 }),
      fc.integer({ min: 1, max: 40 }),
      async (sizes, most) => {
        const gate = makeGate(most)
        const entered: number[] = []
        let inside: number[] = []
        const results = await Promise.all(
          sizes.map((size, index) =>
            gate(size, async () => {
              entered.push(index)
              inside.push(size)
              const sum = inside.reduce((total, each) => total + each, 0)
              expect(inside.length === 1 || sum <= most).toBe(true)
              await new Promise((resolve) => setImmediate(resolve))
              inside = inside.toSpliced(inside.indexOf(size), 1)
              return index
            }),
          ),
        )
        expect(results).toEqual(sizes.map((_, index) => index))
        expect(entered).toEqual(sizes.map((_, index) => index))
      },
    ),
  )
})

test('work that fails leaves its place to others', async () => {
  const gate = makeGate(1)
  const failing = gate(1, () => Promise.reject(new Error('no')))
  const next = gate(1, async () => 'in')
  await expect(failing).rejects.toThrow('no')
  expect(await next).toBe('in')
})
