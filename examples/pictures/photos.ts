/** The photographs of the four jobs: labels, an odometer, an instrument's screen. Drawn, then saved as a phone would. */
import { shop } from '../shop.ts'
import { writeExif } from './exif.ts'
import { writeJpeg } from './jpeg.ts'
import { type Colour, openScene, type Scene } from './scene.ts'

const phone = { make: 'Corrin', model: 'Pocket 8' }
const [ink, paper, dim]: Colour[] = [
  [28, 28, 30],
  [232, 232, 226],
  [96, 98, 102],
]

function develop(scene: Scene, taken: number, seed: number): Uint8Array {
  scene.expose(seed)
  const place = { latitude: shop.latitude + 0.00004, longitude: shop.longitude - 0.00006 }
  const exif = writeExif({ taken, offset: shop.offset, ...phone, ...place }, scene.width, scene.height)
  return writeJpeg(scene, 78, exif)
}

/** A door pillar with its identification label: VIN in letters and as Code 39. `taken`: seconds, local. */
export function photographVin(vin: string, body: Colour, taken: number, seed: number): Uint8Array {
  const scene = openScene(880, 488, body)
  scene.rectangle(0, 0, 880, 26, [18, 18, 20])
  scene.rectangle(0, 470, 880, 18, [18, 18, 20])
  scene.plate(44, 62, 792, 356, 14, [206, 207, 204])
  scene.plate(48, 66, 784, 348, 12, paper ?? [0, 0, 0])
  scene.write('GVWR 2120 KG', 84, 92, 3, dim ?? [0, 0, 0])
  scene.write('TYPE: PASSENGER CAR', 456, 92, 3, dim ?? [0, 0, 0])
  scene.write(`VIN ${vin}`, 84, 152, 5, ink ?? [0, 0, 0])
  scene.bars(vin, 130, 226, 108, 2, ink ?? [0, 0, 0])
  scene.write('TIRE PRESSURE COLD  FRONT 36 PSI  REAR 35 PSI', 84, 366, 2, dim ?? [0, 0, 0])
  for (const [x, y] of [
    [22, 240],
    [858, 240],
  ] as const)
    scene.disc(x, y, 11, [58, 58, 60])
  return develop(scene, taken, seed)
}

/** The label on a sensor's case: part number and serial, the serial as Code 39 as well. */
export function photographSensorLabel(part: string, serial: string, taken: number, seed: number): Uint8Array {
  const scene = openScene(800, 520, [44, 46, 48])
  scene.plate(70, 50, 660, 420, 26, [22, 23, 25])
  for (const [x, y] of [
    [108, 88],
    [692, 88],
    [108, 432],
    [692, 432],
  ] as const) {
    scene.disc(x, y, 17, [92, 94, 96])
    scene.disc(x, y, 8, [40, 41, 43])
  }
  scene.plate(140, 130, 520, 262, 6, paper ?? [0, 0, 0])
  scene.write('RADAR UNIT FRONT', 166, 152, 3, dim ?? [0, 0, 0])
  scene.write(`PN ${part}`, 166, 190, 4, ink ?? [0, 0, 0])
  scene.write(`SN ${serial}`, 166, 232, 4, ink ?? [0, 0, 0])
  scene.bars(serial, 176, 282, 84, 2, ink ?? [0, 0, 0])
  return develop(scene, taken, seed)
}

/** An instrument cluster with the odometer lit. */
export function photographOdometer(miles: string, taken: number, seed: number): Uint8Array {
  const scene = openScene(800, 480, [16, 17, 20])
  scene.plate(40, 60, 720, 360, 60, [30, 32, 36])
  for (const [x, mark] of [
    [210, 'X1000 RPM'],
    [590, 'MPH'],
  ] as const) {
    scene.disc(x, 230, 132, [70, 73, 78])
    scene.disc(x, 230, 126, [20, 21, 25])
    scene.write(mark, x - mark.length * 6, 290, 2, [150, 154, 160])
    scene.plate(x - 104, 226, 104, 6, 3, [214, 92, 60])
    scene.disc(x, 229, 15, [52, 54, 58])
  }
  scene.plate(292, 332, 216, 62, 8, [8, 12, 14])
  scene.write(`${miles} MI`, 314, 348, 4, [190, 226, 236])
  return develop(scene, taken, seed)
}

/** The instrument's screen with its progress bar. */
export function photographScreen(lines: readonly string[], percent: number, taken: number, seed: number): Uint8Array {
  const scene = openScene(880, 560, [66, 62, 56])
  scene.plate(50, 40, 780, 480, 34, [24, 25, 27])
  scene.plate(96, 84, 688, 392, 8, [226, 231, 228])
  scene.rectangle(96, 84, 688, 54, [44, 78, 84])
  scene.write('FRONT RADAR  ROAD CALIBRATION', 124, 100, 3, [240, 244, 240])
  for (const [index, line] of lines.entries()) scene.write(line, 128, 166 + index * 36, 3, [34, 38, 40])
  scene.plate(128, 330, 624, 44, 8, [180, 188, 186])
  scene.plate(128, 330, Math.round(6.24 * percent), 44, 8, percent < 100 ? [196, 120, 40] : [54, 132, 88])
  scene.write(`${percent} %`, 128, 396, 6, [34, 38, 40])
  return develop(scene, taken, seed)
}
