/** What a photo shows by packet.yaml, against what its name says. */
import { expect, test } from 'vitest'
import type { PhotoSubject } from '../../../src/facts/document.ts'
import type { PictureFacts } from '../../../src/facts/reading.ts'
import { recogniseDocument } from '../../../src/facts/recognise/document.ts'
import { layOut } from '../../../src/reading/layout.ts'
import { vocabulary } from '../shipped-vocabulary.ts'

const picture: PictureFacts = {
  widthPixels: 400,
  heightPixels: 300,
  taken: null,
  offset: null,
  satelliteTime: null,
  location: null,
  camera: null,
  software: null,
}

function subjectOf(file: string, shows?: PhotoSubject['shows']): PhotoSubject | undefined {
  const reading = { media: 'image/jpeg', pages: [], problems: [], picture }
  const source = { file, sha256: '0'.repeat(64), bytes: 1, media: 'image/jpeg', ...(shows ? { shows } : {}) }
  return recogniseDocument(reading, layOut([]), source, vocabulary).photo?.subject
}

test('what is declared wins over the name; without it the name speaks, or nothing', () => {
  expect(subjectOf('IMG_2.jpg', 'targets')).toEqual({ shows: 'targets', from: 'declared', text: 'targets' })
  expect(subjectOf('target.jpg', 'other')).toMatchObject({ shows: 'other', from: 'declared' })
  expect(subjectOf('target.jpg')).toMatchObject({ shows: 'targets', from: 'name' })
  expect(subjectOf('IMG_2.jpg')).toBeUndefined()
})
