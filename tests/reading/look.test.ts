/** Looking at pictures: bar codes drawn by another program (bwip-js), and the likeness of copies. */
import { createCanvas, loadImage } from '@napi-rs/canvas'
import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { compareLikenesses, isLook, type Look } from '../../src/facts/look.ts'
import { type LookingPool, startLooking } from '../../src/io/looking-process.ts'
import { writeLikeness } from '../../src/reading/likeness.ts'
import { contents, degradations, photographBars, photographCode } from './barcode-pictures.ts'

let pool: LookingPool
beforeAll(() => {
  pool = startLooking()
})
afterAll(() => pool.close())

async function look(bytes: Uint8Array, media = 'image/jpeg'): Promise<Look> {
  const looked = await pool.look(bytes, { path: 'a.jpg', media })
  if (!isLook(looked)) throw new Error(looked.fault)
  return looked
}

const named = (name: string) => degradations.filter((one) => one.name === name)

describe('bar codes', { timeout: 60_000 }, () => {
  test.each(contents)('$symbology $text', async ({ symbology, text }) => {
    // Stacked bars are not read far from upright.
    const turned = named(symbology === 'pdf417' ? 'turned 5°' : 'turned 30°')
    for (const degradation of [...named('as it is'), ...turned, ...named('half in shadow')]) {
      const { barcodes } = await look(await photographCode(symbology, text, degradation))
      expect(barcodes.map((code) => [code.symbology, code.text])).toEqual([[symbology, text]])
    }
  })

  test('stand where they are, also in a picture that had to be turned to be read', async () => {
    for (const turned of [0, 33]) {
      const { barcodes } = await look(await photographCode('code-39', 'RO-48117', { name: '', turned }))
      const [x0, y0, x1, y1] = barcodes[0]?.box ?? [0, 0, 0, 0]
      expect(Math.abs((x0 + x1) / 2 - 700)).toBeLessThan(30)
      expect(Math.abs((y0 + y1) / 2 - 500)).toBeLessThan(30)
    }
  })

  test('give nothing rather than something else', async () => {
    const { symbology, text } = contents.find((one) => one.symbology === 'pdf417') ?? { symbology: 'pdf417', text: '' }
    for (const slanted of [0.16, 0.2, 0.24]) {
      const { barcodes } = await look(await photographCode(symbology, text, { name: '', slanted }))
      expect(barcodes.filter((code) => code.text !== text)).toEqual([])
    }
  })

  test('are not seen in bars that are none', async () => {
    for (let seed = 1; seed <= 12; seed++) expect((await look(photographBars(seed))).barcodes).toEqual([])
  })
})

describe('likeness', () => {
  /** Invented, with shapes and light. */
  function paint(seed: number) {
    const canvas = createCanvas(800, 600)
    const context = canvas.getContext('2d')
    let state = seed * 104_729 + 3
    const chance = () => {
      state = (state * 48_271) % 2_147_483_647
      return state / 2_147_483_647
    }
    for (let shape = 0; shape < 40; shape++) {
      const level = Math.round(chance() * 255)
      context.fillStyle = `rgb(${level}, ${Math.round(chance() * 255)}, ${level})`
      context.fillRect(chance() * 800 - 100, chance() * 600 - 100, chance() * 300, chance() * 300)
    }
    return canvas
  }

  test('is near for the same picture at another size and quality, and far for others', {
    timeout: 60_000,
  }, async () => {
    const pictures = Array.from({ length: 6 }, (_, seed) => paint(seed))
    const likenesses: string[] = []
    for (const canvas of pictures) {
      const { likeness } = await look(new Uint8Array(canvas.encodeSync('jpeg', 92)))
      const small = createCanvas(canvas.width / 2, canvas.height / 2)
      small.getContext('2d').drawImage(canvas, 0, 0, small.width, small.height)
      const again = (await look(new Uint8Array(small.encodeSync('jpeg', 45)))).likeness
      expect(compareLikenesses(likeness ?? '', again ?? '')).toBeLessThan(3)
      for (const other of likenesses) expect(compareLikenesses(other, likeness ?? '')).toBeGreaterThan(20)
      likenesses.push(likeness ?? '')
    }
  })

  test('is not stated of a blank sheet', async () => {
    const canvas = createCanvas(400, 300)
    const context = canvas.getContext('2d')
    context.fillStyle = '#eee'
    context.fillRect(0, 0, 400, 300)
    expect((await look(new Uint8Array(canvas.encodeSync('png')), 'image/png')).likeness).toBeNull()
  })

  const levels = fc.array(fc.integer({ min: 0, max: 120 }), { minLength: 256, maxLength: 256 })
  const write = (own: readonly number[]) => writeLikeness(own) ?? ''

  test('does not depend on how light the picture is', () => {
    fc.assert(
      fc.property(levels, fc.integer({ min: 0, max: 100 }), (own, lift) => {
        fc.pre(write(own) !== '')
        expect(compareLikenesses(write(own), write(own.map((level) => level + lift)))).toBeCloseTo(0)
      }),
    )
  })

  test('is as far from one as from the other, and no farther than by way of a third', () => {
    fc.assert(
      fc.property(levels, levels, levels, (a, b, c) => {
        fc.pre([a, b, c].every((one) => write(one) !== ''))
        const far = (one: number[], other: number[]) => compareLikenesses(write(one), write(other))
        expect(far(a, b)).toBeCloseTo(far(b, a))
        expect(far(a, c)).toBeLessThanOrEqual(far(a, b) + far(b, c) + 1e-9)
      }),
    )
  })
})

describe('what cannot be looked at says so', () => {
  test.each<[string, Uint8Array, string, RegExp]>([
    ['a page that is not there', new Uint8Array([0x49, 0x49, 42, 0, 8, 0, 0, 0, 0, 0]), 'image/tiff', /damaged/],
    ['no picture', new TextEncoder().encode('no picture'), 'image/jpeg', /not drawn|damaged/],
    ['a size that would fill the memory', hugePng(), 'image/png', /too large/],
  ])('%s', async (_, bytes, media, fault) => {
    expect(await pool.look(bytes, { path: 'a', media })).toEqual({ fault: expect.stringMatching(fault) })
  })

  test('a truncated picture harms nobody, and the next is looked at', async () => {
    const whole = await photographCode('qr-code', 'RO-48117', { name: '' })
    await pool.look(whole.subarray(0, whole.length / 3), { path: 'a.jpg', media: 'image/jpeg' })
    expect((await look(whole)).barcodes).toHaveLength(1)
  })

  /** Signature, and a header that claims 60,000 by 60,000 pixels (W3C PNG, 11.2.2). */
  function hugePng(): Uint8Array {
    const small = createCanvas(1, 1).encodeSync('png')
    small.writeUInt32BE(60_000, 16)
    small.writeUInt32BE(60_000, 20)
    return new Uint8Array(small)
  }

  test('pictures decode upright', async () => {
    const image = await loadImage(Buffer.from(await photographCode('code-39', 'RO-48117', { name: '' })))
    expect([image.width, image.height]).toEqual([1400, 1000])
  })
})
