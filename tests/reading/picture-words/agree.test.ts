/** What several readings of one word agree on, and the marks that decide where they do not. */
import { describe, expect, test } from 'vitest'
import { agreeOn } from '../../../src/reading/picture-words/agree.ts'
import type { Grey } from '../../../src/reading/picture-words/grey.ts'
import { hasUnclearO, tellOs } from '../../../src/reading/picture-words/letter-o.ts'
import { showsPoint } from '../../../src/reading/picture-words/points.ts'

test.each([
  [['48,220', '48,220'], '48,220'],
  [['Reyistration', 'Registration', 'Registration'], 'Registration'],
  [['10', '1.0', '1.0'], '1.0'],
  [['1.3', '13', '1.3'], '1.3'],
  // A point that one of them saw may be lost by two.
  [['12', '12', '1.2'], null],
  [['213', '217', '273'], null],
  // A rule beside the word, and a point behind it.
  [['|Plate', 'Plate.'], 'Plate'],
  [['OS-SV-4410', 'OS-5V-4410', 'OS-5V-4410'], null],
  [['GT-4137-8', 'GT-4137-B', 'GT-4137-B'], null],
  // A sign is part of a number.
  [['-0.27', '0.27'], null],
  [['', ''], null],
])('%j agree on %j', (readings, agreed) => {
  expect(agreeOn(readings)).toBe(agreed)
})

/** Marks side by side, as [left, width, height] with their feet on one line, dark on white. */
function draw(marks: readonly (readonly [number, number, number])[]): Grey {
  const [width, height, foot] = [200, 70, 55]
  const levels = new Uint8Array(width * height).fill(250)
  for (const [left, across, tall] of marks)
    for (let y = foot - tall; y < foot; y++) levels.fill(20, y * width + left, y * width + left + across)
  return { width, height, levels }
}

describe('a point', () => {
  const digits = [
    [20, 12, 36],
    [60, 12, 36],
  ] as const
  test.each([
    ['at the foot between two digits', [...digits, [44, 5, 5]], true],
    ['nowhere', digits, false],
    ['behind both', [...digits, [80, 5, 5]], false],
    ['too tall for one', [...digits, [44, 5, 30]], false],
    ['of dust', [...digits, [44, 2, 2]], false],
  ] as const)('%s', (_, marks, shown) => {
    expect(showsPoint(draw(marks), 28)).toBe(shown)
  })

  test('is looked for where it may stand', () => {
    expect(showsPoint(draw([...digits, [44, 5, 5]]), 28, 55, 80)).toBe(false)
  })
})

describe('an O and a 0', () => {
  test.each(['0C-24-60172', '0S-5V-4410', '27-DWO05', 'XO', 'B0012', 'UTC-04:00', '100', 'RO-48117'])('%s', (text) => {
    expect(hasUnclearO(text)).toBe(['0C-24-60172', '0S-5V-4410', '27-DWO05'].includes(text))
  })

  const digit = (at: number, width = 20) => [10 + 40 * at, width, 36] as const
  test.each([
    ['as wide as the digits', '0C-24', [digit(0), digit(1, 26), digit(2), digit(3)], '0C-24'],
    ['wider than they are', '0C-24', [digit(0, 28), digit(1, 26), digit(2), digit(3)], 'OC-24'],
    ['neither', '0C-24', [digit(0, 23), digit(1, 26), digit(2), digit(3)], null],
    ['not alone', '0C-24', [digit(1, 26), digit(2), digit(3)], null],
    ['without digits, as wide as high', '0S', [digit(0, 36), digit(1, 26)], 'OS'],
  ] as const)('%s', (_, text, marks, told) => {
    expect(tellOs(draw(marks), 28, text)).toBe(told)
  })
})
