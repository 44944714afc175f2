/** Type estimated from ink: text set in faces of other makers, whose outlines the canvas measures. */
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { createCanvas, GlobalFonts } from '@napi-rs/canvas'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Box, Word } from '../../src/facts/reading.ts'
import { findTypeBoxes, type InkWord } from '../../src/reading/ink-boxes.ts'
import { layOut } from '../../src/reading/layout.ts'

const faces = { Sans: 'DejaVuSans', Serif: 'DejaVuSerif', Mono: 'DejaVuSansMono', Bold: 'DejaVuSans-Bold' } as const
type Face = keyof typeof faces

beforeAll(() => {
  const folder = dirname(createRequire(import.meta.url).resolve('dejavu-fonts-ttf/package.json'))
  for (const [name, file] of Object.entries(faces))
    GlobalFonts.registerFromPath(join(folder, 'ttf', `${file}.ttf`), `Ink ${name}`)
})

interface Set {
  text: string
  x: number
  base: number
  size: number
  face?: Face
}

/** The ink of each word of some runs of text, each run a line of its finder's. */
function setType(runs: readonly Set[]): InkWord[] {
  const context = createCanvas(10, 10).getContext('2d')
  return runs.flatMap(({ text, x, base, size, face = 'Sans' }, line) => {
    context.font = `${size}px "Ink ${face}"`
    let left = x
    return text.split(' ').map((word): InkWord => {
      const metrics = context.measureText(word)
      const ink: Box = [
        left - metrics.actualBoundingBoxLeft,
        base - metrics.actualBoundingBoxAscent,
        left + metrics.actualBoundingBoxRight,
        base + metrics.actualBoundingBoxDescent,
      ]
      left += context.measureText(`${word} `).width
      return { text: word, ink, line }
    })
  })
}

const linesOf = (words: readonly InkWord[]): string[] => {
  const set = findTypeBoxes(words).map(({ box, size }, index): Word => ({ text: words[index]?.text ?? '', box, size }))
  const page = { number: 1, width: 1700, height: 2200, unit: 'px' as const, words: set }
  return layOut([page]).lines.map(({ cells }) => cells.map(({ text }) => text).join(' | '))
}

const text = 'on a row gap Old 4471 VIN: Front camera, yaw angle'

describe('type boxes', () => {
  test.each(['Sans', 'Serif', 'Mono', 'Bold'] as const)('%s: are alike for all words of a line', (face) => {
    const words = setType([{ text, x: 100, base: 300, size: 24, face }])
    const boxes = findTypeBoxes(words)
    expect(new Set(boxes.map(({ box }) => box[3])).size).toBe(1)
    const [{ size, box } = { size: 0, box: [0, 0, 0, 0] }] = boxes
    expect(Math.abs(size - 24)).toBeLessThan(2.4)
    expect(Math.abs(box[3] - 0.24 * size - 300)).toBeLessThan(1.2)
    for (const [index, one] of boxes.entries())
      expect([one.box[0], one.box[2]]).toEqual([words[index]?.ink[0], words[index]?.ink[2]])
  })

  test('keep sizes apart that differ', () => {
    const words = setType([
      { text: 'Calibration record', x: 100, base: 200, size: 40 },
      { text: 'Serial number of the unit', x: 100, base: 300, size: 22 },
    ])
    const sizes = findTypeBoxes(words).map(({ size }) => size)
    expect(new Set(sizes).size).toBe(2)
    expect((sizes[0] ?? 0) / (sizes[2] ?? 0)).toBeCloseTo(40 / 22, 0)
  })

  test('do not follow a rule that touches a word', () => {
    const words = setType([{ text: 'Target height over floor', x: 100, base: 300, size: 24 }])
    const spoilt = words.map((word, index): InkWord => {
      const [x0, y0, x1, y1] = word.ink
      return index === 1 ? { ...word, ink: [x0, y0 - 30, x1, y1 + 22] } : word
    })
    expect(
      new Set(
        findTypeBoxes(spoilt).map(({ box }) =>
          box
            .slice(1, 4)
            .filter((_, at) => at !== 1)
            .join(),
        ),
      ).size,
    ).toBe(1)
  })

  test('take the line of their neighbours where they have no shape of their own', () => {
    const words = setType([
      { text: 'Yaw', x: 100, base: 300, size: 24 },
      { text: '–', x: 400, base: 300, size: 24 },
    ])
    expect(linesOf(words)).toEqual(['Yaw | –'])
  })

  test('of nothing are nothing', () => {
    expect(findTypeBoxes([])).toEqual([])
  })
})

test('rows of a table that were found piece by piece are rows again', () => {
  const row = (base: number, cells: readonly string[], face: Face) =>
    cells.map((cell, column) => ({ text: cell, x: 100 + 420 * column, base, size: 22, face }))
  for (const face of ['Sans', 'Serif', 'Mono'] as const) {
    const words = setType([
      ...row(300, ['name', 'value', 'Minimum', 'OK?'], face),
      ...row(334, ['yaw angle', '-0.25 deg', '-1.0', 'pass'], face),
      ...row(368, ['axes over sensor', '1199 mm', '1190', 'Pass'], face),
    ])
    expect(linesOf(words)).toEqual([
      'name | value | Minimum | OK?',
      'yaw angle | -0.25 deg | -1.0 | pass',
      'axes over sensor | 1199 mm | 1190 | Pass',
    ])
  }
})
