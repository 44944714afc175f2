/** Photographs of labels with bar codes of known content, more and more degraded. The codes are drawn by bwip-js. */
import { createCanvas, loadImage } from '@napi-rs/canvas'
import bwip from 'bwip-js'
import type { Symbology } from '../../src/facts/reading.ts'

const encoders: Readonly<Record<Symbology, string>> = {
  'code-39': 'code39',
  'code-128': 'code128',
  'data-matrix': 'datamatrix',
  'qr-code': 'qrcode',
  pdf417: 'pdf417',
}

export interface Degradation {
  name: string
  /** Degrees clockwise. */
  turned?: number
  /** Pixels. */
  blurred?: number
  /** 1 to 100. */
  quality?: number
  /** Of the picture's usual size. */
  scale?: number
  /** How dark a shadow falls over half of it, 0 to 1. */
  shadow?: number
  /** By how much a square becomes a slanted one, as seen from the side. */
  slanted?: number
}

/** From a good photo to a bad one. */
export const degradations: readonly Degradation[] = [
  { name: 'as it is' },
  { name: 'JPEG quality 40', quality: 40 },
  { name: 'turned 5°', turned: 5 },
  { name: 'turned 30°', turned: 30 },
  { name: 'turned 137°', turned: 137 },
  { name: 'on its head', turned: 180 },
  { name: 'slanted', slanted: 0.2 },
  { name: 'half in shadow', shadow: 0.6 },
  { name: 'small', scale: 0.6 },
  { name: 'blurred by 1.5', blurred: 1.5 },
  { name: 'blurred by 3', blurred: 3 },
  { name: 'turned, blurred, in shadow, quality 50', turned: 20, blurred: 1, shadow: 0.4, quality: 50 },
]

/** JPEG of a label on a dark ground, 1,400 by 1,000 pixels at scale 1. */
export async function photographCode(
  symbology: Symbology,
  text: string,
  degradation: Degradation,
): Promise<Uint8Array> {
  const { turned = 0, blurred = 0, quality = 90, scale = 1, shadow = 0, slanted = 0 } = degradation
  const code = await loadImage(await bwip.toBuffer({ bcid: encoders[symbology], text, scale: 4, padding: 4 }))
  const [width, height] = [Math.round(1400 * scale), Math.round(1000 * scale)]
  const canvas = createCanvas(width, height)
  const context = canvas.getContext('2d')
  context.fillStyle = '#3c4a40'
  context.fillRect(0, 0, width, height)
  context.filter = blurred > 0 ? `blur(${blurred}px)` : 'none'
  context.setTransform(scale, 0, 0, scale, width / 2, height / 2)
  context.rotate((turned * Math.PI) / 180)
  context.transform(1, slanted, 0, 1, 0, 0)
  context.fillStyle = '#f2f0ea'
  const fits = Math.min(1, 820 / code.width, 420 / code.height)
  const [across, down] = [code.width * fits, code.height * fits]
  context.fillRect(-across / 2 - 40, -down / 2 - 40, across + 80, down + 80)
  context.drawImage(code, -across / 2, -down / 2, across, down)
  context.setTransform(1, 0, 0, 1, 0, 0)
  context.filter = 'none'
  context.fillStyle = `rgba(0, 0, 0, ${shadow})`
  context.fillRect(0, 0, width * 0.52, height)
  return new Uint8Array(canvas.encodeSync('jpeg', quality))
}

/** A street of a hundred bricks, a tread and a grille: patterns of bars that are no code. */
export function photographBars(seed: number): Uint8Array {
  const canvas = createCanvas(1200, 900)
  const context = canvas.getContext('2d')
  let state = seed * 7919 + 1
  const chance = () => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
  context.fillStyle = '#d8d4cc'
  context.fillRect(0, 0, 1200, 900)
  context.translate(600, 450)
  context.rotate(chance() * Math.PI)
  context.fillStyle = '#26282b'
  for (let x = -900; x < 900; x += 3 + chance() * 14) context.fillRect(x, -700, 1 + chance() * 9, 1400)
  return new Uint8Array(canvas.encodeSync('jpeg', 85))
}

/** Contents as labels of vehicles, parts and job sheets have them; vehicles and parts are invented. */
export const contents: readonly { symbology: Symbology; text: string }[] = [
  { symbology: 'code-39', text: '1ZZTE5T11NB000421' },
  { symbology: 'code-39', text: '4H0093-2217' },
  { symbology: 'code-128', text: 'RO-48117' },
  { symbology: 'code-128', text: 'I1ZZTE5T11NB000421' },
  { symbology: 'data-matrix', text: '1ZZTE5T11NB000421' },
  { symbology: 'data-matrix', text: 'P HT-88160-R2 S HR7-20931844' },
  { symbology: 'qr-code', text: 'JOB RO-48117 VIN 1ZZTE5T11NB000421' },
  { symbology: 'pdf417', text: '1ZZTE5T11NB000421 FRONT RADAR 4477-AB FR7A553019' },
]
