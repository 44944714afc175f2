import { describe, expect, test } from 'vitest'
import type { FilePlace } from '../../src/facts/reading.ts'
import { choosePictures } from '../../src/findings/pictures.ts'
import { makeFinding, makeFullReport } from '../report/invented.ts'

const [pdf] = makeFullReport().documents as [ReturnType<typeof makeFullReport>['documents'][number]]
const documents = [
  ...['a.pdf', 'b.pdf', 'c.pdf', 'd.pdf'].map((file) => ({ ...pdf, file })),
  { ...pdf, file: 'p.jpg', media: 'image/jpeg' },
  { ...pdf, file: 't.txt', media: 'text/plain' },
]

const at = (file: string, x: number, text = 'words', page = 1): FilePlace => ({
  file,
  page,
  box: [x, 10, x + 20, 20],
  text,
})
const choose = (places: FilePlace[][], limits?: Parameters<typeof choosePictures>[1]) =>
  choosePictures(makeFullReport({ documents, findings: places.map((evidence) => makeFinding({ evidence })) }), limits)

describe('pictures', () => {
  test('are of pages, with all that a finding rests on there', () => {
    const { wishes } = choose([
      [at('a.pdf', 1, 'one'), at('a.pdf', 50, 'two'), at('a.pdf', 50, 'two'), at('a.pdf', 9, 'x', 2)],
    ])
    expect(wishes).toEqual([
      {
        file: 'a.pdf',
        page: 1,
        isPhoto: false,
        marks: [
          [1, 10, 21, 20],
          [50, 10, 70, 20],
        ],
        words: ['one', 'two'],
        findings: [0],
      },
      { file: 'a.pdf', page: 2, isPhoto: false, marks: [[9, 10, 29, 20]], words: ['x'], findings: [0] },
    ])
  })

  test('are shared by findings that rest on the same places', () => {
    const { wishes } = choose([[at('a.pdf', 1)], [at('a.pdf', 1)], [at('a.pdf', 2)]])
    expect(wishes.map(({ findings }) => findings)).toEqual([[0, 1], [2]])
  })

  test('are whole for a photo, and none for files that are not drawn or places without a page', () => {
    const { wishes } = choose([
      [
        { file: 'p.jpg', text: '' },
        at('t.txt', 1),
        { file: 'a.pdf', text: '' },
        at('gone.pdf', 1),
        at('packet.yaml', 1),
      ],
    ])
    expect(wishes).toEqual([{ file: 'p.jpg', page: 1, isPhoto: true, marks: [], words: [], findings: [0] }])
  })

  test('are of findings that fail or warn alone', () => {
    const findings = (['warn', 'pass', 'not-checked'] as const).map((verdict) =>
      makeFinding({ verdict, evidence: [at('a.pdf', 1)] }),
    )
    expect(choosePictures(makeFullReport({ documents, findings })).wishes).toHaveLength(1)
  })

  test('are bounded, for one finding and for all, and what is left out is counted', () => {
    const limits = { pictures: 3, ofFinding: 2, bytes: 1 }
    const { wishes, left } = choose(
      [documents.slice(0, 4).map(({ file }) => at(file, 1)), [at('a.pdf', 3)], [at('a.pdf', 5)]],
      limits,
    )
    expect(wishes).toHaveLength(3)
    expect(left).toBe(3)
  })
})
