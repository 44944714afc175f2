/** A sealed bag is of one form alone: whatever is moved in it shows, even where the signature does not reach. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { digestOf, examine, type Files, faultsOf, makeSealedForm, statesOf } from './invented.ts'

const payload: Files = { 'data/scan.txt': 'no codes\n', 'data/photos/aim.jpg': new Uint8Array([0xff, 0xd8, 0, 1]) }
const bag = makeSealedForm(payload)
const holds = 'holds well-formed, holds agree'
const toBytes = (path: string): Uint8Array => Buffer.from(bag[path] as string)
const beside = 'tagmanifest-sha512.txt'
// What tagmanifest-sha256.txt and the signature are is for the signature to say.
const covered = Object.keys(bag).filter((path) => !['tagmanifest-sha256.txt', 'seal.p7s'].includes(path))

test('as written, it holds', () => {
  expect(statesOf(examine(bag))).toBe(holds)
})

describe('a change', () => {
  const anyFile = fc.constantFrom(...covered)

  test('of any byte of any file', () => {
    fc.assert(
      fc.property(anyFile, fc.nat(), fc.integer({ min: 1, max: 255 }), (path, where, flip) => {
        const content = Uint8Array.from(toBytes(path))
        const at = where % content.length
        content[at] = (content[at] as number) ^ flip
        expect(statesOf(examine({ ...bag, [path]: content }))).not.toBe(holds)
      }),
      { numRuns: 2000 },
    )
  })

  test('of every byte of the list that no signature covers, be it to upper case', () => {
    const content = toBytes(beside)
    for (const at of content.keys()) {
      const changed = Uint8Array.from(content)
      changed[at] = (changed[at] as number) ^ 0x20
      expect(statesOf(examine({ ...bag, [beside]: changed }))).not.toBe(holds)
    }
  })

  test('of the length of any file', () => {
    fc.assert(
      fc.property(anyFile, fc.nat(), fc.uint8Array({ minLength: 1, maxLength: 80 }), (path, cut, more) => {
        const content = toBytes(path)
        const shorter = content.subarray(0, cut % content.length)
        expect(statesOf(examine({ ...bag, [path]: shorter }))).not.toBe(holds)
        expect(statesOf(examine({ ...bag, [path]: Buffer.concat([content, more]) }))).not.toBe(holds)
      }),
      { numRuns: 1000 },
    )
  })

  test('of names: a file swapped with another, renamed, removed', () => {
    fc.assert(
      fc.property(fc.constantFrom(...Object.keys(bag)), anyFile, (one, other) => {
        fc.pre(one !== other && one !== 'seal.p7s')
        const swapped = { ...bag, [one]: bag[other] as string, [other]: bag[one] as string }
        const { [other]: moved = '', ...without } = bag
        expect(statesOf(examine(swapped))).not.toBe(holds)
        expect(statesOf(examine({ ...without, [`${other}x`]: moved }))).not.toBe(holds)
        expect(statesOf(examine(without))).not.toBe(holds)
      }),
      { numRuns: 500 },
    )
  })

  test.each([
    'extra.txt',
    'data/extra.txt',
    'report/extra.html',
    'manifest-md5.txt',
    'manifest-sha384.txt',
    'tagmanifest-md5.txt',
    'tagmanifest-sha384.txt',
    'tagmanifest-other.txt',
    'fetch.txt',
    'renewal-0/x',
    'renewal-x/stamp.tsr',
    'SEAL.P7S',
    '.DS_Store',
    'data/.DS_Store',
  ])('that adds %s', (path) => {
    expect(statesOf(examine({ ...bag, [path]: '' }))).not.toBe(holds)
    expect(statesOf(examine({ ...bag, [path]: 'more\n' }))).not.toBe(holds)
  })

  const lines = String(bag[beside]).split('\n').slice(0, -1)
  const write = (changed: string[]) => ({ [beside]: changed.map((line) => `${line}\n`).join('') })
  const byPath = (one: string, other: string) => (one.slice(130) < other.slice(130) ? -1 : 1)

  test('that takes lines out of the list that no signature covers', () => {
    for (const index of lines.keys())
      expect(faultsOf(examine({ ...bag, ...write(lines.toSpliced(index, 1)) }))).toEqual([
        `uncovered ${lines[index]?.slice(130)}`,
      ])
  })

  test('that lists an added file in the list that no signature covers', () => {
    const line = `${digestOf('sha512', 'more')}  extra.txt`
    const files = { ...bag, ...write([...lines, line].toSorted(byPath)), 'extra.txt': 'more' }
    expect(faultsOf(examine(files))).toEqual(['uncovered extra.txt'])
  })

  test('that lists a file of the payload, or the seal, there', () => {
    for (const path of ['data/scan.txt', 'seal.p7s']) {
      const line = `${digestOf('sha512', toBytes(path))}  ${path}`
      expect(faultsOf(examine({ ...bag, ...write([...lines, line].toSorted(byPath)) }))).toEqual([
        `rewritten ${beside}`,
      ])
    }
  })

  test('that puts a link there, or a name that misleads', () => {
    for (const code of ['link', 'not-a-file', 'unsafe-name', 'damaged'])
      expect(examine(bag, [{ path: 'x', code, message: 'x is odd' }]).structure.state).toBe('broken')
  })
})

test('whatever payload was written, it holds, and its names are read', () => {
  const step = fc.stringMatching(/^[A-Za-z0-9_][A-Za-z0-9._-]{0,8}$/)
  const paths = fc.array(step, { minLength: 1, maxLength: 3 }).map((steps) => `data/${steps.join('/')}`)
  fc.assert(
    fc.property(fc.dictionary(paths, fc.uint8Array(), { minKeys: 1 }), (files) => {
      const examined = examine(makeSealedForm(files))
      expect(statesOf(examined)).toBe(holds)
      expect([...examined.names.keys()].toSorted()).toEqual(Object.keys(files).toSorted())
    }),
  )
})
