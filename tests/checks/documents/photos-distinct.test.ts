import fc from 'fast-check'
import { expect, test } from 'vitest'
import { photosDistinct } from '../../../src/checks/documents/photos-distinct.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { generalParameters } from '../general.ts'
import { makeDocument, makePacket } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const parameters = generalParameters('photos-distinct')
const mostLevels = Number(parameters.mostLevels)

/** Half of the fields darker by `levels` and half lighter: that far from `mark(0)`. */
const mark = (levels: number) =>
  Buffer.from(Array.from({ length: 256 }, (_, at) => 128 + (at % 2 ? levels : -levels))).toString('hex')
function photo(file: string, likeness: string | undefined, sha256: string = file.padEnd(64, '0')): DocumentFacts {
  const known = likeness === undefined ? {} : { likeness }
  return makeDocument('photo', file, { sha256, photo: { taken: null, location: null, ...known } })
}
const judge = (...photos: DocumentFacts[]) => runCheck(photosDistinct, makePacket(photos), parameters)

test('different pictures', () => {
  expect(judge(photo('a.jpg', mark(0)), photo('b.jpg', mark(90)))).toMatchObject([
    { state: 'met', message: 'distinct', data: { photos: 2 } },
  ])
})

test('the same file under two names, whatever it shows', () => {
  const sha256 = 'c'.repeat(64)
  for (const likeness of [undefined, mark(3)])
    expect(judge(photo('a.jpg', likeness, sha256), photo('b.jpg', likeness, sha256))).toMatchObject([
      { state: 'unmet', message: 'same-file', data: { files: ['a.jpg', 'b.jpg'] } },
    ])
})

test('the same picture, saved again', () => {
  expect(judge(photo('a.jpg', mark(0)), photo('x.jpg', mark(99)), photo('b.jpg', mark(mostLevels)))).toMatchObject([
    { state: 'unmet', message: 'same-picture', data: { files: ['a.jpg', 'b.jpg'], levels: mostLevels } },
  ])
})

test.each<[string, DocumentFacts[], string]>([
  ['one photo', [photo('a.jpg', mark(0))], 'nothing-to-compare'],
  ['none', [], 'nothing-to-compare'],
  ['one that nobody could look at', [photo('a.jpg', mark(0)), photo('b.heic', undefined)], 'some-not-compared'],
])('%s: undecided', (_, photos, message) => {
  expect(judge(...photos)).toMatchObject([{ state: 'undecided', message }])
})

test('two pictures are called the same up to the limit, and never beyond', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 120 }), (levels) => {
      const [outcome] = judge(photo('a.jpg', mark(0)), photo('b.jpg', mark(levels)))
      expect(outcome?.message).toBe(levels <= mostLevels ? 'same-picture' : 'distinct')
    }),
  )
})
