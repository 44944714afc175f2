import { readFileSync } from 'node:fs'
import { deflateSync } from 'node:zlib'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { readPdf } from '../../src/reading/pdf.ts'
import { line, stream, writeObjects, writePages } from './pdf-by-hand.ts'

const read = (bytes: Uint8Array) => readPdf(bytes, { path: 'damaged.pdf', media: 'application/pdf' })
/** Made from one plain file of three pages with qpdf 11: --linearize, --object-streams=generate, --encrypt. */
const file = (name: string) => readFileSync(new URL(`./files/${name}`, import.meta.url))

const whole = writePages([{ content: line('Radar aimed', 72, 700) }, { content: line('Second page', 72, 700) }])
const edit = (pattern: string | RegExp, by: string) =>
  Buffer.from(whole.toString('latin1').replace(pattern, by), 'latin1')
const noise = (length: number) => Buffer.from(Array.from({ length }, (_, index) => (index * 7919 + 13) % 251))
const packed = deflateSync(line('Radar calibration completed', 72, 700).repeat(40))
const catalog = '<< /Type /Catalog /Pages 2 0 R >>'

/** Name, bytes, and the problems they must give. */
const damaged: readonly (readonly [string, Buffer, readonly string[]])[] = [
  ['no bytes', Buffer.alloc(0), ['empty']],
  ['plain text', Buffer.from('no PDF at all'), ['damaged']],
  ['noise', noise(3000), ['damaged']],
  ['zeros', Buffer.alloc(5000), ['damaged']],
  ['a header alone', Buffer.from('%PDF-1.7\n'), ['truncated']],
  ['a header and an end', Buffer.from('%PDF-1.7\n%%EOF\n'), ['damaged']],
  ['a page tree that holds itself', writeObjects([catalog, '<< /Type /Pages /Kids [2 0 R] /Count 1 >>']), ['damaged']],
  [
    'a page tree that loops over two nodes',
    writeObjects([
      catalog,
      '<< /Type /Pages /Kids [3 0 R] /Count 2 >>',
      '<< /Type /Pages /Parent 2 0 R /Kids [2 0 R 2 0 R] /Count 2 >>',
    ]),
    ['repaired', 'damaged'],
  ],
  ['no page', writeObjects([catalog, '<< /Type /Pages /Kids [] /Count 0 >>']), ['damaged']],
  [
    'no page but a count',
    writeObjects([catalog, '<< /Type /Pages /Kids [] /Count 100000 >>']),
    ['repaired', 'damaged'],
  ],
  ['an empty catalog', writeObjects(['<< >>']), ['damaged']],
  ['a root that is not there', edit('/Root 1 0 R', '/Root 99 0 R'), ['damaged']],
  ['a count of pages that is wrong', edit('/Count 2', '/Count 9'), ['repaired']],
  ['a wrong startxref', edit(/startxref\n\d+/, 'startxref\n7'), ['repaired']],
  ['wrong offsets', edit(/0000000\d{3} 00000 n/g, '0000000003 00000 n'), ['repaired']],
  ['a hole', Buffer.concat([whole.subarray(0, 300), Buffer.alloc(300), whole.subarray(600)]), ['repaired', 'blank']],
  ['a revision cut short', Buffer.concat([whole, Buffer.from('12 0 obj\n<< /Type /Page')]), ['truncated']],
  ['noise for content', writePages([{ content: noise(900) }]), ['damaged-content']],
  [
    'noise for compressed content',
    writePages([{ content: Buffer.concat([packed.subarray(0, 4), noise(60)]), filter: '/Filter /FlateDecode' }]),
    ['damaged-content'],
  ],
  [
    'half of its compressed content',
    writePages([{ content: packed.subarray(0, packed.length / 2), filter: '/Filter /FlateDecode' }]),
    ['damaged-content'],
  ],
  ['an unknown filter', writePages([{ content: 'abc', filter: '/Filter /NoSuchDecode' }]), ['damaged-content']],
  ['an unfinished string', writePages([{ content: `${line('Begin', 72, 700)}) ] >> (and on` }]), ['damaged-content']],
  ['text without a font', writePages([{ content: 'BT 72 700 Td (Radar) Tj ET' }]), ['damaged-content']],
  ['20000 open brackets', writePages([{ content: '['.repeat(20_000) }]), ['damaged-content']],
  ['50000 open brackets in its catalog', writeObjects([`<< /Type /Catalog /A ${'['.repeat(50_000)} >>`]), ['damaged']],
  [
    'a form that draws itself',
    writePages(
      [{ content: '/X1 Do', resources: '/XObject << /X1 7 0 R >>' }],
      [stream('/X1 Do', '/Type /XObject /Subtype /Form /BBox [0 0 9 9] /Resources << /XObject << /X1 7 0 R >> >>')],
    ),
    ['damaged-content'],
  ],
  ['content that is not there', edit('/Contents 6 0 R', '/Contents 66 0 R'), ['blank-page']],
]

describe('damaged files', () => {
  it.each(damaged)('names the problem of %s', async (_, bytes, codes) => {
    const { problems } = await read(bytes)
    expect(problems.map((problem) => problem.code)).toEqual(codes)
    expect(problems.every((problem) => problem.message.length > 20)).toBe(true)
  })

  it('reads what is left of a file that had to be repaired', async () => {
    for (const bytes of [edit(/startxref\n\d+/, 'startxref\n7'), edit('/Count 2', '/Count 9')]) {
      const { pages, pageCount } = await read(bytes)
      expect(pageCount).toBe(2)
      expect(pages.map((page) => page.words.map((word) => word.text).join(' '))).toEqual(['Radar aimed', 'Second page'])
    }
  })

  it('takes what stands before or after a file for no damage', async () => {
    for (const bytes of [
      Buffer.concat([Buffer.from('received from the instrument\n'), whole]),
      Buffer.concat([whole, Buffer.alloc(3000)]),
      Buffer.concat([whole, Buffer.alloc(5000, 'a')]),
    ]) {
      expect((await read(bytes)).pages).toHaveLength(2)
      expect((await read(bytes)).problems).toEqual([])
    }
  })

  it.each(['linearised.pdf', 'object-streams.pdf', 'owner-locked.pdf'])(
    'says of %s cut anywhere that it is cut',
    async (name) => {
      const bytes = file(name)
      expect((await read(bytes)).problems).toEqual([])
      for (let part = 1; part < 20; part++) {
        const { problems } = await read(bytes.subarray(0, Math.floor((bytes.length * part) / 20)))
        expect(problems[0]?.code).toBe('truncated')
      }
    },
  )

  it('asks for an unlocked copy, but reads what opens without a password', async () => {
    for (const name of ['locked.pdf', 'locked-rc4.pdf']) {
      const { problems, pages } = await read(file(name))
      expect(problems.map((problem) => problem.code)).toEqual(['encrypted'])
      expect(pages).toEqual([])
    }
    expect((await read(file('owner-locked.pdf'))).pages[2]?.words.map((word) => word.text)).toContain(
      'LE9NX41K7RD204417',
    )
  })

  it.each([
    ['[0 0 1e30 1e30]', 612, 792],
    ['[0 0 0 0]', 612, 792],
    ['null', 612, 792],
    ['[612 792 0 0]', 612, 792],
    ['[0 0 20000 20000]', 20_000, 20_000],
  ])('reads a page with the media box %s', async (mediaBox, width, height) => {
    const { pages, problems } = await read(writePages([{ content: line('Radar', 72, 700), mediaBox }]))
    expect(pages[0]).toMatchObject({ width, height })
    expect(pages[0]?.words.map((word) => word.text)).toEqual(['Radar'])
    expect(problems).toEqual([])
  })

  it('never throws and always says something of bytes changed or missing', async () => {
    const seeds = [whole, file('linearised.pdf'), file('object-streams.pdf')]
    const change = fc.tuple(fc.nat(), fc.integer({ min: 0, max: 255 }))
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...seeds),
        fc.array(change, { minLength: 1, maxLength: 30 }),
        async (seed, changes) => {
          const bytes = Uint8Array.from(seed)
          for (const [at, value] of changes) bytes[at % bytes.length] = value
          const { pages, problems } = await read(bytes)
          // A page that lost its words is never taken for a page that never had any.
          expect(problems.length > 0 || pages.every((page) => page.words.length > 0)).toBe(true)
        },
      ),
      { numRuns: 60, seed: 20261125 },
    )
  }, 20_000)
})
