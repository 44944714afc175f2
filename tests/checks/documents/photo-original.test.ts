import { expect, test } from 'vitest'
import { photoOriginal as check } from '../../../src/checks/documents/photo-original.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import type { PictureMark } from '../../../src/facts/reading.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket, makePlace } from '../packet-builder.ts'
import { messagesOf, runCheck } from '../run-check.ts'

type Photo = NonNullable<DocumentFacts['photo']>
const parameters = generalParameters('photo-original')

const photo = (file: string, rest: Partial<Photo> = {}, facts: Partial<DocumentFacts> = {}) =>
  makeDocument('photo', file, {
    vin: undefined,
    media: 'image/jpeg',
    photo: { taken: null, location: null, camera: 'Orvane P3', cameraData: true, ...rest },
    ...facts,
  })
const judge = (...photos: DocumentFacts[]) => runCheck(check, makePacket(photos), parameters)
const say = (...photos: DocumentFacts[]) => messagesOf(check, makePacket(photos), parameters)
const marked = (...marks: PictureMark[]) => photo('a.jpg', { marks })

test('camera data and nothing else, also with a small copy that agrees and the size turned', () => {
  const turned = { size: { width: 3000, height: 4000 }, statedSize: { width: 4000, height: 3000 } }
  const thumbnail = { width: 160, height: 120, levels: Number(parameters.mostLevels) }
  expect(judge(photo('a.jpg', turned), photo('b.jpg', { thumbnail }))).toMatchObject([
    { state: 'met', message: 'original', data: { photos: 2, files: ['a.jpg', 'b.jpg'] } },
  ])
})

test('the mark of an editor, where it stands; a sound photo beside it is still told', () => {
  const place = makePlace('Blotter Paint 4')
  const edited = photo(
    'a.jpg',
    { marks: [{ kind: 'software', text: 'Blotter Paint 4' }] },
    { evidence: { 'photo.marks.0': [place] } },
  )
  expect(judge(edited, photo('b.jpg'))).toMatchObject([
    { state: 'met', message: 'original', data: { files: ['b.jpg'] } },
    {
      state: 'unmet',
      message: 'edited',
      data: { file: 'a.jpg', marks: ['Blotter Paint 4'] },
      evidence: [{ file: 'a.jpg', text: 'Blotter Paint 4' }],
    },
  ])
})

test.each<[PictureMark['kind'], string[]]>([
  ['processing-software', ['edited']],
  ['creator-tool', ['edited']],
  ['history', ['edited']],
  ['editor-resources', ['edited']],
  ['changed-later', ['edited']],
  ['adobe-segment', ['original']],
])('a mark of the kind %s: %s', (kind, messages) => {
  expect(say(marked({ kind, text: 'something' }))).toEqual(messages)
})

test('no camera data, told of all such photos at once, and with no word of blame', () => {
  const outcomes = judge(photo('a.jpg', { cameraData: false }), photo('b.jpg', { cameraData: false }))
  expect(outcomes).toMatchObject([{ state: 'unmet', message: 'no-camera-data', data: { files: ['a.jpg', 'b.jpg'] } }])
  expect(check.messages['no-camera-data']?.text).toMatch(/messaging/)
})

test('a screen that says so is told as one, not as a photo without camera data', () => {
  const subject = { shows: 'screen', from: 'caption', text: 'Screenshot' } as const
  expect(judge(photo('a.png', { cameraData: false, subject }, { media: 'image/png' }))).toMatchObject([
    { state: 'unmet', message: 'screen', data: { file: 'a.png', text: 'Screenshot' } },
  ])
})

test('a small copy that differs', () => {
  const thumbnail = (levels: number | null) => photo('a.jpg', { thumbnail: { width: 160, height: 120, levels } })
  expect(judge(thumbnail(Number(parameters.mostLevels) + 0.31))).toMatchObject([
    { state: 'unmet', message: 'thumbnail-differs', data: { file: 'a.jpg', levels: 15.3 } },
  ])
  expect(say(thumbnail(null))).toEqual(['original'])
})

test('another size than the camera wrote: cut, or only smaller', () => {
  const sized = (width: number, height: number) =>
    photo('a.jpg', { size: { width, height }, statedSize: { width: 4000, height: 3000 } })
  expect(judge(sized(3000, 3000))).toMatchObject([
    { state: 'unmet', message: 'cut', data: { size: '3000 × 3000', stated: '4000 × 3000' } },
  ])
  expect(judge(sized(1600, 1200))).toMatchObject([{ state: 'undecided', message: 'saved-again' }])
  // A size that does not divide is rounded.
  expect(say(sized(1023, 767))).toEqual(['saved-again'])
})

test('standard tables beside those that all other photos of the camera share', () => {
  const compressed = (file: string, mark: string, quality: number | null) =>
    photo(file, { quantisation: { mark, quality } })
  const odd = compressed('odd.jpg', 'ffffffff', 85)
  const others = ['b.jpg', 'c.jpg', 'd.jpg'].map((file) => compressed(file, '00000001', null))
  expect(judge(odd, ...others)).toMatchObject([
    { state: 'met', message: 'original', data: { photos: 3 } },
    { state: 'undecided', message: 'other-tables', data: { file: 'odd.jpg', quality: 85, others: 3 } },
  ])
  expect(say(odd, ...others.slice(1))).toEqual(['original'])
  expect(say(odd, compressed('e.jpg', '00000002', null), ...others)).toEqual(['original'])
  expect(
    say(odd, ...others.map((other) => ({ ...other, photo: { ...(other.photo as Photo), camera: 'Orvane P4' } }))),
  ).toEqual(['original'])
})

test('what was not read, and no photo', () => {
  const unread = makeDocument('photo', 'a.jpg', { media: 'image/jpeg', photo: { taken: null, location: null } })
  const damaged = photo('b.jpg', {}, { problems: [{ code: 'damaged', message: 'The picture is damaged.' }] })
  expect(judge(unread, damaged)).toMatchObject([
    { state: 'undecided', message: 'not-read', data: { files: ['a.jpg', 'b.jpg'] } },
  ])
  expect(say()).toEqual(['no-photo'])
})
