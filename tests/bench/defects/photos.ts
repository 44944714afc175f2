/** Photographs, small and drawn: a VIN label, a sensor's label, an odometer, a target before a vehicle. */
import { writeExif } from '../../../examples/pictures/exif.ts'
import { writeJpeg } from '../../../examples/pictures/jpeg.ts'
import { type Colour, openScene, type Scene } from '../../../examples/pictures/scene.ts'
import { makeChance } from './chance.ts'
import { faceOf, offsetText } from './clocks.ts'
import type { PhotoPaper } from './draft.ts'

const ink: Colour = [28, 28, 30]
const paper: Colour = [232, 232, 226]

function drawLabel(text: string, head: string): Scene {
  // Code 39 takes 16 narrow bars a sign; a star stands at either end.
  const width = Math.ceil(((text.length + 2) * 16 * 2 + 80) / 8) * 8
  const scene = openScene(width, 160, [88, 92, 96])
  scene.plate(12, 12, width - 24, 136, 6, paper)
  scene.write(`${head} ${text}`, 30, 26, 3, ink)
  scene.bars(text, 36, 64, 64, 2, ink)
  return scene
}

/** No two set-ups are photographed from one place: target, vehicle and floor stand elsewhere in every picture. */
function drawTargets(seed: number): Scene {
  const chance = makeChance(seed)
  const scene = openScene(320, 200, [chance.whole(80, 200), chance.whole(80, 200), 112])
  const floor = chance.whole(100, 160)
  scene.rectangle(0, floor, 320, 200 - floor, [92, 90, 88])
  const [left, top] = [chance.whole(10, 220), chance.whole(10, 80)]
  scene.plate(left, top, 70, 96, 4, [236, 236, 232])
  for (const [x, y] of [
    [16, 16],
    [40, 16],
    [16, 54],
    [40, 54],
  ] as const)
    scene.rectangle(left + x, top + y, 16, 16, ink)
  scene.plate(left > 110 ? chance.whole(4, 20) : 180, chance.whole(60, 110), 96, 70, 18, [60, 70, 92])
  return scene
}

function drawOdometer(text: string): Scene {
  const scene = openScene(320, 160, [16, 17, 20])
  scene.plate(60, 50, 200, 60, 8, [8, 12, 14])
  scene.write(text, 84, 70, 3, [190, 226, 236])
  return scene
}

function draw({ of, text, seed }: PhotoPaper): Scene {
  switch (of) {
    case 'vin':
      return drawLabel(text, 'VIN')
    case 'label':
      return drawLabel(text, 'SN')
    case 'odometer':
      return drawOdometer(text)
    case 'targets':
      return drawTargets(seed)
  }
}

/** A picture file with what a phone writes beside it, or without any of that where the time is not known. */
export function takePhoto(photo: PhotoPaper): Uint8Array {
  const scene = draw(photo)
  scene.expose(photo.seed)
  const { zone } = photo.head.clock
  const { taken, latitude, longitude } = photo
  const quality = photo.quality ?? 70
  if (taken === null) return writeJpeg(scene, quality, [])
  const [make = '', ...model] = photo.camera.split(' ')
  const shot = {
    taken: faceOf(taken, zone),
    offset: offsetText(taken, zone),
    make,
    model: model.join(' '),
    latitude,
    longitude,
  }
  return writeJpeg(scene, quality, writeExif(shot, scene.width, scene.height))
}
