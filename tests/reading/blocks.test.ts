import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Box, Word } from '../../src/facts/reading.ts'
import { type Block, findBlocks, findRuns } from '../../src/reading/blocks.ts'
import { draw } from './page-builder.ts'

type Run = Block['lines'][number]

const isNear = (a: number, b: number) => Math.abs(a - b) < 2

function followsOn(last: Box, run: Run): boolean {
  const size = run.words[0]?.size ?? 10
  const gap = run.box[1] - last[3]
  const isBeneath =
    gap <= 0.4 * size && gap > -0.5 * size && Math.min(last[2], run.box[2]) > Math.max(last[0], run.box[0])
  const middle = (box: Box) => (box[0] + box[2]) / 2
  return (
    isBeneath && (isNear(last[0], run.box[0]) || isNear(last[2], run.box[2]) || isNear(middle(last), middle(run.box)))
  )
}

/** What a block is, word for word: each run is held against the last line of every block, the youngest first. */
function blocksByDefinition(runs: readonly Run[]): Run[][] {
  const blocks: Run[][] = []
  for (const run of runs) {
    const above = blocks.findLast((lines) => followsOn((lines.at(-1) as Run).box, run))
    if (above) above.push(run)
    else blocks.push([run])
  }
  return blocks
}

/** Few places, so that words often stand beneath each other, on and about the borders of what is aligned and close. */
const words = fc.array(
  fc
    .tuple(
      fc.integer({ min: 0, max: 40 }),
      fc.integer({ min: 0, max: 60 }),
      fc.integer({ min: 1, max: 12 }),
      fc.constantFrom(4, 8, 10, 10, 10, 24),
    )
    .map(([x, y, length, size]): Word => {
      const [word] = draw(1.25 * x, 1.5 * y, 'x'.repeat(length), { size })
      return word as Word
    }),
  { maxLength: 60 },
)

describe('blocks of lines', () => {
  it('are those of the plain definition on any page', () => {
    fc.assert(
      fc.property(words, (all) => {
        const runs = findRuns(all)
        expect(findBlocks(runs).map(({ lines }) => lines)).toEqual(blocksByDefinition(runs))
      }),
      { numRuns: 2000 },
    )
  })

  it('are those of the plain definition wherever runs stand, and however high they are', () => {
    const edge = fc.integer({ min: -20, max: 20 }).map((n) => n / 2)
    const run = fc.tuple(edge, edge, edge, edge, fc.constantFrom(1, 5, 10, 30)).map(([x, y, w, h, size]): Run => {
      const box: Box = [x, y, x + Math.abs(w), y + Math.abs(h)]
      return { box, words: [{ text: 'x', box, size }] }
    })
    fc.assert(
      fc.property(fc.array(run, { maxLength: 40 }), (runs) => {
        expect(findBlocks(runs).map(({ lines }) => lines)).toEqual(blocksByDefinition(runs))
      }),
      { numRuns: 2000 },
    )
  })

  it('go on with the block begun last where a line stands beneath two', () => {
    const runs = [
      ...findRuns(draw(40, 100, 'one')),
      ...findRuns(draw(41, 100, 'two')),
      ...findRuns(draw(40, 112, 'three')),
    ]
    expect(findBlocks(runs).map(({ words: own }) => own.map(({ text }) => text).join(' '))).toEqual([
      'one',
      'two three',
    ])
  })
})
