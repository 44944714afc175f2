import { expect, test } from 'vitest'
import { vinSeenOnVehicle } from '../../../src/checks/identity/vin-seen-on-vehicle.ts'
import type { DocumentFacts } from '../../../src/facts/document.ts'
import { makeDocument, makePacket, vin } from '../packet-builder.ts'
import { runCheck } from '../run-check.ts'

const other = '1M8GDM9AXKP042788'
const lookAlike = vin.replace('5', 'S')

const paper = (file: string, value: string | undefined) => makeDocument('estimate', file, { vin: value })
/** A photo; without `barcodes`, one that nobody looked at. */
function photo(file: string, value?: string, barcodes: string[] | null = value === undefined ? [] : [value]) {
  const read = barcodes === null ? {} : { barcodes: barcodes.map((text) => ({ symbology: 'code-39', text })) }
  return makeDocument('photo', file, { vin: value, photo: { taken: null, location: null, ...read } })
}
const judge = (...documents: DocumentFacts[]) => runCheck(vinSeenOnVehicle, makePacket(documents))

test('the label reads what the papers show', () => {
  expect(judge(paper('a.pdf', vin), photo('label.jpg', vin))).toMatchObject([
    { state: 'met', message: 'seen', data: { files: ['label.jpg'], vin } },
  ])
})

test('the label of another vehicle', () => {
  const outcomes = judge(paper('a.pdf', vin), paper('b.pdf', vin), photo('label.jpg', other))
  expect(outcomes).toMatchObject([
    {
      state: 'unmet',
      message: 'another-vehicle',
      data: { files: ['label.jpg'], value: other, vin, others: ['a.pdf', 'b.pdf'], differing: 15 },
    },
  ])
  expect(outcomes[0]?.evidence.map(({ file }) => file)).toEqual(['label.jpg', 'a.pdf', 'b.pdf'])
})

test('a label that differs by little says where', () => {
  expect(judge(paper('a.pdf', vin), photo('label.jpg', lookAlike))).toMatchObject([
    { state: 'unmet', message: 'differs', data: { positions: [6] } },
  ])
})

test('two labels, one of another vehicle, are judged one by one', () => {
  const outcomes = judge(paper('a.pdf', vin), photo('label.jpg', vin), photo('donor.jpg', other))
  expect(outcomes.map(({ message }) => message).sort()).toEqual(['another-vehicle', 'seen'])
})

test('papers that disagree do not make the label wrong', () => {
  expect(judge(paper('a.pdf', vin), paper('b.pdf', lookAlike), photo('label.jpg', vin))).toMatchObject([
    { state: 'met', message: 'seen' },
  ])
  expect(judge(paper('a.pdf', other), paper('b.pdf', other), paper('c.pdf', vin), photo('l.jpg', vin))).toMatchObject([
    { state: 'met', message: 'seen' },
  ])
})

test.each<[string, DocumentFacts[], string, string]>([
  ['without a photo', [paper('a.pdf', vin)], 'unmet', 'no-photo'],
  ['without a bar code on any', [paper('a.pdf', vin), photo('x.jpg')], 'undecided', 'not-found'],
  [
    'with a photo that nobody could look at',
    [paper('a.pdf', vin), photo('x.heic', undefined, null)],
    'undecided',
    'not-looked-at',
  ],
  ['with a label alone', [paper('a.pdf', undefined), photo('x.jpg', vin)], 'undecided', 'nothing-to-compare'],
])('%s', (_, documents, state, message) => {
  expect(judge(...documents)).toMatchObject([{ state, message }])
})

test('a bar code on a paper is not the vehicle; on pages that show photos it is', () => {
  const barcodes = [{ symbology: 'code-39', text: vin }]
  const sheet = makeDocument('other', 'sheet.pdf', { barcodes })
  expect(judge(paper('a.pdf', vin), sheet).map(({ message }) => message)).toEqual(['no-photo'])
  const photos = makeDocument('photo', 'photos.pdf', { barcodes })
  expect(judge(paper('a.pdf', vin), photos)).toMatchObject([{ message: 'seen', data: { files: ['photos.pdf'] } }])
  const bare = makeDocument('photo', 'photos.pdf', { vin: undefined, barcodes: [] })
  expect(judge(paper('a.pdf', vin), bare)).toMatchObject([{ message: 'not-found' }])
})
