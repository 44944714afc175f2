/** Bags as RFC 8493 (version 1.0) and the drafts before it (0.9x) have others write them. */
import { describe, expect, test } from 'vitest'
import { examineBag } from '../../../src/seal/bag/examine.ts'
import {
  digestOf,
  examine,
  type Files,
  faultsOf,
  isPayload,
  listOf,
  makePlainBag,
  statesOf,
  viewOf,
} from './invented.ts'

const payload: Files = { 'data/scan.txt': 'no codes\n', 'data/photos/aim.jpg': 'a picture' }
const sha256 = listOf('sha256', payload, isPayload)
const bag: Files = makePlainBag({ ...payload, 'manifest-sha256.txt': sha256 })
const whole = 'holds well-formed, holds agree'

describe('the examples of RFC 8493', () => {
  // Section 4.1, example of a basic bag: paths and MD5 digests are those printed there; the pictures are not.
  const basic = {
    'data/27613-h/images/q172.png': '49afbd86a1ca9f34b677a3f09655eae9',
    'data/27613-h/images/q172.txt': '408ad21d50cef31da4df6d9ed81b01a7',
  }
  const lines = Object.entries(basic).map(([path, digest]) => `${digest} ${path}\n`)
  const basicView = (digests: Record<string, string>) => {
    const view = viewOf(makePlainBag({ 'manifest-md5.txt': lines.join('') }))
    const entries = Object.entries(digests).map(([path, md5]) => ({ path, bytes: 1, digests: { md5 } }))
    return { ...view, entries: [...view.entries, ...entries] }
  }

  test('4.1: a digest, one space, a path', () => {
    const examined = examineBag(basicView(basic), { sealed: false })
    expect(statesOf(examined)).toBe('holds well-formed, doubtful weak-algorithm-only')
    expect(examined.digests).toEqual(['md5'])
  })

  test('4.1, with the two files swapped', () => {
    const [png, txt] = Object.keys(basic) as [string, string]
    const [first, second] = Object.values(basic) as [string, string]
    const examined = examineBag(basicView({ [png]: second, [txt]: first }), { sealed: false })
    expect(faultsOf(examined)).toEqual([`changed ${png}`, `changed ${txt}`])
  })

  // Section 4.2 shows a bag with fetch.txt: the payload is complete only once every file has been fetched (section 3).
  test('4.2: files that are still to be fetched', () => {
    const fetch = 'https://example.org/aim.jpg 9 data/photos/aim.jpg\nhttps://example.org/scan.txt - data/scan.txt\n'
    const fetching: Files = { ...bag, 'fetch.txt': fetch }
    expect(statesOf(examine(fetching))).toBe(whole)
    const { 'data/photos/aim.jpg': _, ...without } = fetching
    expect(faultsOf(examine(without))).toEqual(['to-fetch data/photos/aim.jpg'])
    expect(examine(without).files.state).toBe('broken')
  })
})

describe('a bag of others', () => {
  test('holds where every file is there, unchanged, and none beside', () => {
    expect(statesOf(examine(bag))).toBe(whole)
    expect(examine(bag).digests).toEqual(['sha-256'])
  })

  const [first = '', second = ''] = sha256.split('\n')
  test.each([
    ['upper case', sha256.replaceAll(/^[0-9a-f]+/gm, (digest) => digest.toUpperCase())],
    ['CRLF', sha256.replaceAll('\n', '\r\n')],
    ['CR', sha256.replaceAll('\n', '\r')],
    ['no line feed at the end', sha256.trimEnd()],
    ['a byte order mark', `\ufeff${sha256}`],
    ['tabs', sha256.replaceAll('  ', '\t')],
    ['the mark of binary files', sha256.replaceAll('  ', ' *')],
    ['./ before', sha256.replaceAll('  ', '  ./')],
    ['another order', `${second}\n${first}\n`],
    ['blank lines', `\n${sha256}\n\n`],
  ])('may write its manifest with %s', (_, manifest) => {
    expect(statesOf(examine({ ...bag, 'manifest-sha256.txt': manifest }))).toBe(whole)
  })

  test.each([
    ['missing', { ...bag, 'data/scan.txt': null }, ['missing data/scan.txt']],
    ['extra', { ...bag, 'data/more.txt': 'x' }, ['extra data/more.txt']],
    ['changed', { ...bag, 'data/scan.txt': 'no codes ' }, ['changed data/scan.txt']],
    [
      'renamed',
      { ...bag, 'data/scan.txt': null, 'data/scan2.txt': 'no codes\n' },
      ['missing data/scan.txt', 'extra data/scan2.txt'],
    ],
  ])('is broken where a file is %s', (_, files: Record<string, string | Uint8Array | null>, faults) => {
    const left = Object.fromEntries(Object.entries(files).filter(([, content]) => content !== null)) as Files
    expect(faultsOf(examine(left))).toEqual(faults)
    expect(examine(left).files.state).toBe('broken')
  })

  test('may list tag files, which must then be as listed', () => {
    const tags = { ...bag, 'notes.txt': 'as received' }
    const listed = { ...tags, 'tagmanifest-sha1.txt': listOf('sha1', tags, (path) => !isPayload(path)) }
    expect(statesOf(examine(listed))).toBe(whole)
    expect(faultsOf(examine({ ...listed, 'notes.txt': 'as received!' }))).toEqual(['changed notes.txt'])
  })

  test('must list the whole payload in each manifest from version 1.0 on (2.1.3), and before it in one', () => {
    const part = listOf('sha512', payload, (path) => path === 'data/scan.txt')
    const files = { ...payload, 'manifest-sha256.txt': sha256, 'manifest-sha512.txt': part }
    expect(faultsOf(examine(makePlainBag(files)))).toEqual(['extra data/photos/aim.jpg'])
    expect(statesOf(examine(makePlainBag(files, '0.97')))).toBe(whole)
  })

  test('is doubtful where part of the payload is listed by digests alone that can be forged', () => {
    const files = {
      ...payload,
      'manifest-md5.txt': listOf('md5', payload, isPayload),
      'manifest-sha512.txt': listOf('sha512', payload, (path) => path === 'data/scan.txt'),
    }
    expect(statesOf(examine(makePlainBag(files, '0.97')))).toBe('holds well-formed, doubtful weak-algorithm-only')
    const sha1 = makePlainBag({ ...payload, 'manifest-sha1.txt': listOf('sha1', payload, isPayload) })
    expect(statesOf(examine(sha1))).toBe('holds well-formed, doubtful weak-algorithm-only')
  })

  test.each([
    ['data/a%0Ab%0Dc.txt', 'data/a\nb\rc.txt'],
    ['data/a%0ab%0dc.txt', 'data/a\nb\rc.txt'],
    ['data/50%25.txt', 'data/50%.txt'],
    ['data/50%250A.txt', 'data/50%0A.txt'],
    // Many programs write the name as it is.
    ['data/50%.txt', 'data/50%.txt'],
    ['data/50%25.txt', 'data/50%25.txt'],
    ['data/50%0A.txt', 'data/50%0A.txt'],
    ['data/%41.txt', 'data/%41.txt'],
    // One program composes letters, another takes them apart.
    ['data/Gro\u0308\u00dfe.txt', 'data/Gr\u00f6\u00dfe.txt'],
  ])('that lists %j has the file %j', (listed, path) => {
    const manifest = `${digestOf('sha256', 'x')}  ${listed}\n`
    expect(statesOf(examine(makePlainBag({ [path]: 'x', 'manifest-sha256.txt': manifest })))).toBe(whole)
  })

  test.each([
    '../out.txt',
    'data/../../out.txt',
    '/etc/hosts',
    '~/out.txt',
    'C:/out.txt',
    'data\\..\\out.txt',
    'data//x',
    'data/./x',
    'elsewhere/x',
    '~root/data/x',
  ])('must not list %s', (path) => {
    const manifest = `${sha256}${digestOf('sha256', 'x')}  ${path}\n`
    const examined = examine({ ...bag, 'manifest-sha256.txt': manifest })
    expect(examined.structure.faults.map(({ code }) => code)).toEqual(['path-escapes'])
    expect(examined.structure.state).toBe('broken')
    const fetching = examine({ ...bag, 'fetch.txt': `https://example.org/x 1 ${path}\n` })
    expect(fetching.structure.faults.map(({ code }) => code)).toEqual(['path-escapes'])
  })

  test.each([
    ['a line that is none', { 'manifest-sha256.txt': `${sha256}hello\n` }, 'line-malformed manifest-sha256.txt'],
    ['a digest too short', { 'manifest-sha256.txt': `${sha256}abcd  data/x\n` }, 'line-malformed manifest-sha256.txt'],
    ['a file twice', { 'manifest-sha256.txt': `${first}\n${sha256}` }, 'listed-twice manifest-sha256.txt'],
    ['a malformed fetch.txt', { 'fetch.txt': 'data/scan.txt\n' }, 'line-malformed fetch.txt'],
    ['an unlisted file to fetch', { 'fetch.txt': 'https://example.org/ 1 data/x\n' }, 'fetch-unlisted fetch.txt'],
    ['no declaration', { 'bagit.txt': '' }, 'declaration bagit.txt'],
    ['a declaration after a byte order mark', { 'bagit.txt': `\ufeff${bag['bagit.txt']}` }, 'declaration bagit.txt'],
    [
      'a declaration in the other order',
      { 'bagit.txt': 'Tag-File-Character-Encoding: UTF-8\nBagIt-Version: 1.0\n' },
      'declaration bagit.txt',
    ],
    ['a declaration of more', { 'bagit.txt': `${bag['bagit.txt']}More: 1\n` }, 'declaration bagit.txt'],
  ])('is malformed with %s', (_, files, fault) => {
    const examined = examine({ ...bag, ...files } as Files)
    expect(faultsOf(examined)).toContain(fault)
    expect(statesOf(examined)).toMatch(/^broken malformed/)
  })

  test('is examined by no manifest of an unknown digest, and is none without any', () => {
    const { 'manifest-sha256.txt': _, ...rest } = bag
    const unknown = examine({ ...rest, 'manifest-whirl.txt': 'ff  data/scan.txt\n' })
    expect(statesOf(unknown)).toBe('doubtful unexamined, unexamined no-manifest')
    expect(faultsOf(unknown)).toEqual(['digest-unknown manifest-whirl.txt'])
    expect(statesOf(examine(rest))).toBe('broken malformed, unexamined no-manifest')
  })

  test('of version 1.0 has tag manifests that list every manifest of the payload and no tag manifest (2.2.1)', () => {
    const { 'bagit.txt': own } = bag
    const digest = digestOf('sha256', own as string)
    const without = { ...bag, 'tagmanifest-sha256.txt': `${digest}  bagit.txt\n` }
    expect(faultsOf(examine(without))).toEqual(['tag-list tagmanifest-sha256.txt'])
    expect(statesOf(examine({ ...without, ...makePlainBag({}, '0.97') }))).not.toMatch(/^broken/)
    const tags = { ...bag, 'tagmanifest-md5.txt': listOf('md5', bag, (path) => !isPayload(path)) }
    const both = { ...tags, 'tagmanifest-sha256.txt': listOf('sha256', tags, (path) => !isPayload(path)) }
    expect(statesOf(examine(tags))).toBe(whole)
    expect(faultsOf(examine(both))).toEqual(['tag-list tagmanifest-sha256.txt'])
  })

  test('counts bytes and files (Payload-Oxum, 2.2.2), wherever it does, under a label of any case', () => {
    expect(statesOf(examine({ ...bag, 'bag-info.txt': 'payload-oxum: 18.2\n' }))).toBe(whole)
    for (const oxum of ['17.2', '18.1', '18', 'many'])
      expect(faultsOf(examine({ ...bag, 'bag-info.txt': `Payload-Oxum: ${oxum}\n` }))).toEqual([
        'oxum-differs bag-info.txt',
      ])
    const twice = 'Payload-Oxum: 18.2\nPayload-Oxum: 1.1\n'
    expect(faultsOf(examine({ ...bag, 'bag-info.txt': twice }))).toEqual(['oxum-differs bag-info.txt'])
  })

  test('without a file is doubtful', () => {
    const empty = makePlainBag({ 'manifest-sha256.txt': '' })
    expect(statesOf(examine(empty))).toBe('holds well-formed, doubtful empty-bag')
  })

  test.each(['0.93', '0.94', '0.95', '0.96', '0.97', '1.0'])('may be of version %s', (version) => {
    expect(statesOf(examine({ ...bag, ...makePlainBag({}, version) }))).toBe(whole)
  })

  test('of an unknown version or encoding is doubtful, not broken', () => {
    expect(examine({ ...bag, ...makePlainBag({}, '2.0') }).structure.state).toBe('doubtful')
    const odd = 'BagIt-Version: 1.0\nTag-File-Character-Encoding: X-INVENTED-9\n'
    expect(examine({ ...bag, 'bagit.txt': odd }).structure.state).toBe('doubtful')
  })

  test('may have its tag files in another encoding (2.1.1)', () => {
    const latin = Buffer.from(`${digestOf('sha256', 'x')}  data/Größe.txt\n`, 'latin1')
    const declared = 'BagIt-Version: 0.97\nTag-File-Character-Encoding: ISO-8859-1\n'
    const files = { 'bagit.txt': declared, 'data/Größe.txt': 'x', 'manifest-sha256.txt': latin }
    expect(statesOf(examine(files))).toBe(whole)
    expect(statesOf(examine({ ...files, 'bagit.txt': declared.replace('ISO-8859-1', 'UTF-8') }))).toMatch(/broken/)
  })

  test('with a file that is too large to be taken is doubtful, and one that is damaged is broken', () => {
    const { 'data/scan.txt': _, ...rest } = bag
    const problem = { path: 'data/scan.txt', code: 'too-large', message: 'data/scan.txt is large' }
    expect(statesOf(examine(rest, [problem]))).toBe('doubtful unexamined, doubtful unexamined')
    expect(statesOf(examine(rest, [{ ...problem, code: 'damaged' }]))).toMatch(/^broken .*broken/)
    expect(statesOf(examine({ ...rest, 'data/photos/aim.jpg': 'another' }, [problem]))).toMatch(/broken differ/)
  })
})
