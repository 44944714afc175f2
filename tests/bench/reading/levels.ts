/**
 * What befalls a page before it is read. Within a level the amount differs by page, by the seed, so that forty pages
 * meet the whole range; the dots an inch are those a scanner is set to, or what a phone's picture of a sheet comes to.
 */
import type { Chance } from '../defects/chance.ts'

export interface Harm {
  /** Dots an inch. */
  dpi: number
  /** Degrees clockwise. */
  turned?: number
  /** By how much each corner is moved, as shares of width and height: top left, top right, bottom right, bottom left. */
  corners?: readonly (readonly [number, number])[]
  /** Deviation of a Gaussian blur, pixels. */
  blurred?: number
  /** How dark the darkest place gets, 0 to 1, and the direction that the shadow falls in, degrees. */
  shadow?: { depth: number; direction: number }
  /** Deviation of the noise of each pixel, of 255 levels. */
  noise?: number
  /** JPEG, 1 to 100; without it the picture is a PNG. */
  quality?: number
  /** The sheet lies on something dark, rather than on the white lid of a scanner. */
  dark?: true
}

export interface Level {
  name: string
  /** Whether reading should hardly suffer: the aims are for these. */
  moderate: boolean
  draw(chance: Chance): Harm
}

const between = (chance: Chance, least: number, most: number): number => least + (most - least) * chance.even()
const turn = (chance: Chance, least: number, most: number): number =>
  between(chance, least, most) * (chance.likely(0.5) ? 1 : -1)
const moved = (chance: Chance, most: number) =>
  [0, 1, 2, 3].map(() => [between(chance, -most, most), between(chance, -most, most)] as const)
const shade = (chance: Chance, least: number, most: number) => ({
  depth: between(chance, least, most),
  direction: between(chance, 0, 360),
})

export const levels: readonly Level[] = [
  { name: 'clean-300', moderate: true, draw: () => ({ dpi: 300 }) },
  { name: 'clean-200', moderate: true, draw: () => ({ dpi: 200 }) },
  { name: 'clean-150', moderate: false, draw: () => ({ dpi: 150 }) },
  { name: 'turned', moderate: true, draw: (chance) => ({ dpi: 200, turned: turn(chance, 0.5, 3) }) },
  { name: 'blurred', moderate: false, draw: (chance) => ({ dpi: 200, blurred: between(chance, 0.5, 2) }) },
  { name: 'jpeg-90-50', moderate: true, draw: (chance) => ({ dpi: 200, quality: chance.whole(50, 90) }) },
  { name: 'jpeg-50-30', moderate: false, draw: (chance) => ({ dpi: 200, quality: chance.whole(30, 50) }) },
  { name: 'noise', moderate: false, draw: (chance) => ({ dpi: 200, noise: between(chance, 8, 30), quality: 80 }) },
  {
    name: 'perspective',
    moderate: false,
    draw: (chance) => ({ dpi: 200, corners: moved(chance, 0.03), quality: 85, dark: true }),
  },
  { name: 'shadow', moderate: false, draw: (chance) => ({ dpi: 200, shadow: shade(chance, 0.3, 0.7), quality: 85 }) },
  {
    name: 'scanned',
    moderate: true,
    draw: (chance) => ({
      dpi: chance.pick([200, 240, 300]),
      turned: turn(chance, 0.5, 3),
      blurred: between(chance, 0.3, 0.8),
      noise: between(chance, 2, 8),
      quality: chance.whole(50, 85),
    }),
  },
  {
    name: 'phone',
    moderate: false,
    draw: (chance) => ({
      dpi: chance.pick([180, 220, 260]),
      turned: turn(chance, 0, 3),
      corners: moved(chance, 0.025),
      blurred: between(chance, 0.5, 1.2),
      shadow: shade(chance, 0.2, 0.5),
      noise: between(chance, 3, 8),
      quality: chance.whole(60, 85),
      dark: true,
    }),
  },
]
