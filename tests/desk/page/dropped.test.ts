import { describe, expect, test } from 'vitest'
import { type Entry, planPackets, walkEntry } from '../../../src/desk/page/logic/dropped.ts'

const file = (name: string): Entry<string> => ({
  name,
  isFile: true,
  isDirectory: false,
  file: (done) => done(`bytes of ${name}`),
})

/** A reader gives what it holds in portions of two, as browsers give a hundred. */
const folder = (name: string, ...children: Entry<string>[]): Entry<string> => ({
  name,
  isFile: false,
  isDirectory: true,
  createReader() {
    const left = [...children]
    return { readEntries: (done) => done(left.splice(0, 2)) }
  },
})

describe('what is dropped', () => {
  test('folders are walked to the end, in every portion and depth', async () => {
    const found = await walkEntry(folder('job', file('a'), file('b'), file('c'), folder('photos', file('d'))))
    expect(found.map(({ path }) => path)).toEqual(['job/a', 'job/b', 'job/c', 'job/photos/d'])
    expect(found[3]?.file).toBe('bytes of d')
  })

  test('one that cannot be read is named', async () => {
    const broken: Entry<string> = { ...file('x.pdf'), file: (_, failed) => failed(new Error('gone')) }
    await expect(walkEntry(folder('job', folder('sub', broken)))).rejects.toThrow('job/sub/x.pdf cannot be read: gone')
  })
})

describe('what is handed over', () => {
  const plan = (...paths: string[]) =>
    planPackets(
      paths.map((path) => ({ path, file: path })),
      'files of today',
    ).map(({ name, form, files }) => [name, form, files.map(({ path }) => path)])

  test('a folder is a packet, and its files are named from it on', () => {
    expect(plan('RO 1/a.pdf', 'RO 1/photos/b.jpg')).toEqual([['RO 1', 'folder', ['a.pdf', 'photos/b.jpg']]])
  })

  test('each folder and each zip is one, and loose files are one together', () => {
    expect(plan('RO 1/a.pdf', 'RO 2.ZIP', 'b.pdf', 'c.csv', 'RO 3/d.pdf')).toEqual([
      ['RO 1', 'folder', ['a.pdf']],
      ['RO 2.ZIP', 'file', ['RO 2.ZIP']],
      ['RO 3', 'folder', ['d.pdf']],
      ['files of today', 'folder', ['b.pdf', 'c.csv']],
    ])
  })

  test('a single file is a packet by its own name', () => {
    expect(plan('scan.pdf')).toEqual([['scan.pdf', 'file', ['scan.pdf']]])
  })

  test('a folder that is named like a zip is no other packet than the zip', () => {
    expect(plan('a.zip', 'a.zip/b.pdf')).toHaveLength(2)
  })

  test('what file managers leave behind stays out', () => {
    expect(plan('RO/.DS_Store', 'RO/sub/Thumbs.db', 'RO/._a.pdf', '__MACOSX/RO/a.pdf', 'RO/a.pdf')).toEqual([
      ['RO', 'folder', ['a.pdf']],
    ])
  })
})
