/** Keys of pictures, on photos of the test packets saved again, and on likenesses whose distance is known. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import * as canvases from '@napi-rs/canvas'
import { expect, test } from 'vitest'
import { isTelling, pictureKeys } from '../../../src/archive/seen/picture-keys.ts'
import { compareLikenesses } from '../../../src/facts/look.ts'
import { describeLikeness } from '../../../src/reading/likeness.ts'
import { decodePhoto } from '../../../src/reading/pixels.ts'
import { makeChance } from '../../bench/defects/chance.ts'
import { root } from '../../source-file.ts'

const share = (one: string, other: string): boolean =>
  !new Set(pictureKeys(one)).isDisjointFrom(new Set(pictureKeys(other)))

const toHex = (levels: readonly number[]): string =>
  Buffer.from(levels.map((level) => Math.min(255, Math.max(0, Math.round(level))))).toString('hex')

/** Fields that vary smoothly, as those of a photo do. */
function makeLikeness(seed: number): number[] {
  const chance = makeChance(seed)
  const waves = Array.from({ length: 8 }, () => [1, 1, 30].map((size) => size * chance.normal()))
  return Array.from({ length: 256 }, (_, at) => {
    const [x, y] = [(at % 16) / 4, Math.floor(at / 16) / 4]
    return (
      128 + waves.reduce((sum, [u = 0, v = 0, height = 0], turn) => sum + height * Math.sin(u * x + v * y + turn), 0)
    )
  })
}

test('copies within the limit share a key, and other pictures hardly ever', () => {
  const pictures = Array.from({ length: 150 }, (_, seed) => makeLikeness(seed + 1))
  const keys = pictures.map((levels) => new Set(pictureKeys(toHex(levels))))
  const found = pictures.filter((levels, seed) => {
    const chance = makeChance(seed + 900)
    // Noise of 4.2 levels: what photos saved again differed by at most.
    const copy = pictureKeys(toHex(levels.map((level) => level + 4.2 * chance.normal())))
    return copy.some((key) => keys[seed]?.has(key))
  })
  expect(found.length).toBeGreaterThanOrEqual(148)
  const pairs = keys.flatMap((one, at) => keys.slice(at + 1).map((other) => !one.isDisjointFrom(other)))
  expect(pairs.filter((shared) => shared).length / pairs.length).toBeLessThan(0.001)
})

test('a lighter copy is a copy, and what is no likeness has no key', () => {
  const levels = makeLikeness(7).map((level) => Math.min(230, Math.max(0, level)))
  expect(share(toHex(levels), toHex(levels.map((level) => level + 20)))).toBe(true)
  expect(pictureKeys('00')).toEqual([])
})

test('a sheet of paper, a screen and a wall are not telling', () => {
  const paper = Array.from({ length: 256 }, (_, at) => (at % 16 > 2 && at % 16 < 13 && at % 3 === 0 ? 120 : 245))
  const screen = Array.from({ length: 256 }, (_, at) => (at % 16 > 3 && at % 16 < 12 ? 210 : 40))
  for (const levels of [paper, screen, Array.from({ length: 256 }, (_, at) => 120 + (at % 16) / 2)])
    expect(isTelling(toHex(levels))).toBe(false)
  expect(isTelling(toHex(makeLikeness(3)))).toBe(true)
})

async function likenessOf(bytes: Uint8Array): Promise<string | null> {
  const image = await decodePhoto(canvases, bytes, 'image/jpeg')
  return 'fault' in image ? null : describeLikeness(canvases, image)
}

test('photos of the packets are found again at another size and quality', async () => {
  const folders = ['a/p01', 'a/p04', 'd/p01'].map((name) => join(root, 'tests/packets', name, 'files'))
  const paths = folders.flatMap((folder) =>
    readdirSync(folder)
      .filter((name) => /\.jpe?g$/i.test(name))
      .map((name) => join(folder, name)),
  )
  let [found, asked] = [0, 0]
  for (const path of paths) {
    const bytes = new Uint8Array(readFileSync(path))
    const image = await canvases.loadImage(Buffer.from(bytes))
    const canvas = canvases.createCanvas(Math.round(image.width * 0.6), Math.round(image.height * 0.6))
    canvas.getContext('2d').drawImage(image, 0, 0, canvas.width, canvas.height)
    const [one, other] = [await likenessOf(bytes), await likenessOf(await canvas.encode('jpeg', 55))]
    if (one === null || other === null || compareLikenesses(one, other) > 6) continue
    asked++
    if (share(one, other)) found++
  }
  expect(asked).toBeGreaterThan(5)
  expect(found).toBe(asked)
})
