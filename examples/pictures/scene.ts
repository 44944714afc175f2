/** A small canvas: rectangles, rounded plates, letters of five by seven dots, Code 39 bars, light and grain of a phone. */
import { seedChance } from '../chance.ts'
import { code39, glyphs } from './glyphs.ts'
import type { Raster } from './jpeg.ts'

export type Colour = readonly [number, number, number]

export interface Scene extends Raster {
  rectangle(x: number, y: number, width: number, height: number, colour: Colour): void
  /** Corners rounded by `radius`, edges smoothed. */
  plate(x: number, y: number, width: number, height: number, radius: number, colour: Colour): void
  disc(x: number, y: number, radius: number, colour: Colour): void
  /** `dot`: pixels a dot; a letter is six dots wide with its gap. */
  write(text: string, x: number, y: number, dot: number, colour: Colour): void
  /** Code 39 with its stars; `narrow`: pixels of a narrow bar, wide bars are three. Returns the width. */
  bars(text: string, x: number, y: number, height: number, narrow: number, colour: Colour): number
  /** Light that falls off from a corner, and grain. */
  expose(seed: number): void
}

/** An even surface of one colour. Width and height must be multiples of 8. */
export function openScene(width: number, height: number, ground: Colour): Scene {
  const pixels = new Float32Array(width * height * 3)
  const cover = (x: number, y: number, share: number, colour: Colour): void => {
    if (share <= 0 || x < 0 || y < 0 || x >= width || y >= height) return
    for (let channel = 0; channel < 3; channel++) {
      const at = (y * width + x) * 3 + channel
      pixels[at] = (pixels[at] ?? 0) * (1 - share) + (colour[channel] ?? 0) * share
    }
  }
  const clamp = (value: number): number => Math.max(0, Math.min(1, value))
  const shape = (
    left: number,
    top: number,
    right: number,
    bottom: number,
    share: (x: number, y: number) => number,
    colour: Colour,
  ): void => {
    for (let y = Math.floor(top); y <= bottom; y++)
      for (let x = Math.floor(left); x <= right; x++) cover(x, y, clamp(share(x + 0.5, y + 0.5)), colour)
  }
  const scene: Scene = {
    width,
    height,
    pixels,
    rectangle: (x, y, wide, high, colour) => shape(x, y, x + wide - 1, y + high - 1, () => 1, colour),
    plate: (x, y, wide, high, radius, colour) =>
      shape(
        x,
        y,
        x + wide,
        y + high,
        (px, py) => {
          const dx = Math.max(x + radius - px, 0, px - (x + wide - radius))
          const dy = Math.max(y + radius - py, 0, py - (y + high - radius))
          return radius + 0.5 - Math.sqrt(dx * dx + dy * dy)
        },
        colour,
      ),
    disc: (x, y, radius, colour) =>
      shape(
        x - radius,
        y - radius,
        x + radius,
        y + radius,
        (px, py) => radius + 0.5 - Math.sqrt((px - x) ** 2 + (py - y) ** 2),
        colour,
      ),
    write: (text, x, y, dot, colour) => {
      ;[...text].forEach((sign, index) => {
        glyphs[sign.toUpperCase()]?.forEach((row, line) => {
          for (let column = 0; column < 5; column++)
            if ((row >> (4 - column)) & 1)
              scene.rectangle(x + (index * 6 + column) * dot, y + line * dot, dot, dot, colour)
        })
      })
    },
    bars: (text, x, y, high, narrow, colour) => {
      let place = x
      for (const element of code39(text)) {
        const wide = element.wide ? narrow * 3 : narrow
        if (element.dark) scene.rectangle(place, y, wide, high, colour)
        place += wide
      }
      return place - x
    },
    expose: (seed) => {
      const chance = seedChance(seed)
      for (let y = 0; y < height; y++)
        for (let x = 0; x < width; x++) {
          const light = 1.06 - 0.22 * (((x - width * 0.35) / width) ** 2 + ((y - height * 0.3) / height) ** 2)
          const grain = chance.normal() * 2.2
          for (let channel = 0; channel < 3; channel++) {
            const at = (y * width + x) * 3 + channel
            pixels[at] = Math.max(0, Math.min(255, (pixels[at] ?? 0) * light + grain))
          }
        }
    },
  }
  scene.rectangle(0, 0, width, height, ground)
  return scene
}
